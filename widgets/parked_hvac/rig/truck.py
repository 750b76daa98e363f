"""The training truck: one or many draws of it, faulted or sound, moving through time.

Every voltage is found by solving the wiring at that moment. Between two moments the batteries, temperatures
and delays are integrated; relays and controllers follow what they see at their own terminals. Each draw takes
its own steps, so that a draw shows the same alone and among thousands; the work is done in rig/kernel.
"""

from __future__ import annotations

import copy
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics.waveform import PulseTrain
from parked_hvac.rig import figures, live, ripple, senses
from parked_hvac.rig.beginning import load_of
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.climate import Climate
from parked_hvac.rig.compressor import CompressorDrive
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.controller import SENSOR_CURVES, Controller
from parked_hvac.rig.controls import KEY_POSITIONS, Controls
from parked_hvac.rig.electrics import Equilibrium
from parked_hvac.rig.harness import GROUND, fixed_conductance_S, harness
from parked_hvac.rig.isolator import Isolator
from parked_hvac.rig.kernel import engine
from parked_hvac.rig.kernel.load import Load
from parked_hvac.rig.kernel.packing import packed, unpacked
from parked_hvac.rig.kernel.way import ADVANCE, BEGIN, PROBE, SETTLE
from parked_hvac.rig.kernel.wiring import nodes
from parked_hvac.rig.parameters import Floats, Parameters
from parked_hvac.tables import DataError, nearest

Flags = NDArray[np.bool_]

_RENEWED_CHARGE = 0.95
COARSE, USUAL, FINE = 2.0, 1.0, 0.125
"""Scales of the steps in time: of a judge's thousands of trucks, of plots and tests, of a truck on which readings are written
down. Halving fine ones moves no reading by more than its instrument's accuracy; usual ones let something that switches
again and again drift by up to 13 s in an hour, coarse ones by up to 40 s: a sixth of a thermostat's cycle."""


class Truck:
    """The rig. Arrays are (B,): one entry per draw.

    ``parameters`` are the figures of every draw; ``conditions`` say how the truck comes in. At the start the
    key is off and nothing is asked for. ``step_scale``: COARSE, USUAL or FINE, or any other number above 0.
    """

    def __init__(
        self, parameters: Parameters, conditions: Conditions | None = None, step_scale: float = USUAL
    ) -> None:
        self.parameters = parameters
        self.conditions = conditions or Conditions()
        self.batch = parameters.batch
        self.controls = Controls()
        self._fixed_S = fixed_conductance_S(parameters, self.conditions.outside_C)
        self._read(load_of(parameters, self.conditions, step_scale))
        self._touched(BEGIN)

    def _read(self, load: Load) -> None:
        self._load = load
        self.now = Equilibrium(load)
        self.isolator = Isolator(load.states)
        self.controller = Controller(load.states)
        self.compressor = CompressorDrive(load, self.parameters)
        self.climate = Climate(load)

    def taken(self, draws: NDArray[np.intp]) -> Truck:
        """Only the given draws, in that order, as they stand; they go their own way from here."""
        some = copy.copy(self)
        some.parameters, some.controls = self.parameters.taken(draws), copy.deepcopy(self.controls)
        some.batch, some._fixed_S = draws.size, self._fixed_S[:, draws]
        some._read(self._load.taken(draws))
        return some

    def packed(self) -> Packed:
        """The trucks as they stand, in less room; these go on as they are."""
        return Packed(self)

    # ---- what hands can do ----

    def set_key(self, position: str) -> None:
        """Turn the key: 'off', 'on' or 'engine' (the engine runs). DataError for another word."""
        if position not in KEY_POSITIONS:
            raise DataError(f"The key has no position {position!r}; {nearest(position, KEY_POSITIONS)}")
        self.controls.key = position
        self._touched()

    def press_parked_cooling(self, on: bool) -> None:
        """Ask for parked cooling at the panel, or no longer."""
        self.controls.parked_cooling = bool(on)
        self._touched()

    def turn_blower(self, step: int) -> None:
        """Set the blower to 0 (off) … 5. DataError outside."""
        if step not in range(6):
            raise DataError(f"The blower has no step {step!r}; choose 0 to 5.")
        self.controls.blower_step = int(step)
        self._touched()

    def turn_temperature(self, celsius: float) -> None:
        """Set the wanted bunk temperature, 16 to 28 °C. DataError outside."""
        if not 16.0 <= celsius <= 28.0:
            raise DataError(f"The panel cannot be set to {celsius} °C; choose 16 to 28.")
        self.controls.set_temperature_C = float(celsius)
        self._touched()

    def pull_fuse(self, name: str) -> None:
        """Take a fuse out of its holder."""
        self.controls.pulled.add(self.controls.known(name, "fuses"))
        self._touched()

    def fit_fuse(self, name: str) -> None:
        """Put a fuse back."""
        self.controls.pulled.discard(self.controls.known(name, "fuses"))
        self._touched()

    def part(self, connector: str) -> None:
        """Part a connector or take a lug off."""
        self.controls.parted.add(self.controls.known(connector, "connectors"))
        self._touched()

    def seat(self, connector: str) -> None:
        """Seat a connector or fit a lug."""
        self.controls.parted.discard(self.controls.known(connector, "connectors"))
        self._touched()

    def warm_sensor(self, sensor: str, on: bool) -> None:
        """Hold a sensor between warm fingers, or let go."""
        if sensor not in SENSOR_CURVES:
            raise DataError(f"No sensor is called {sensor!r}; {nearest(sensor, SENSOR_CURVES)}")
        (self.controls.warmed.add if on else self.controls.warmed.discard)(sensor)
        self._touched()

    def discharge_capacitors(self) -> None:
        """Bleed the drive's capacitor through a resistor; it fills again if the feed is live."""
        self._load.states["capacitor_V"] = 0.0
        self._touched()

    def repair(self, parameters: Parameters, renewed: tuple[str, ...] = ()) -> None:
        """Go on with other figures, as after a repair; ``renewed`` batteries come fresh and charged."""
        self.parameters = parameters
        load = self._load
        load.figures = figures.figures(parameters, self.conditions.outside_C)
        figures.set_cells(load.cells, parameters)
        self.compressor.adopt(parameters)
        for battery in renewed:
            place = catalogue().batteries().index(battery)
            for name in ("fast_V", "slow_V", "surface_V", "draw_A"):
                load.cells[name][:, place] = 0.0
            load.cells["state_of_charge"][:, place] = _RENEWED_CHARGE
        load.states["relay_closed"] |= load.figures["relay_welded"] > 0.5
        self._fixed_S = fixed_conductance_S(parameters, self.conditions.outside_C)
        self._touched()

    # ---- what instruments ask ----

    def voltage_V(self, red: str, black: str = GROUND) -> Floats:
        """Voltage between two terminals at this moment, no meter connected; (B,)."""
        return self.now.voltage_V(red, black)

    def probe(self, red: str, black: str, conductance_S: float = 1e-7, current_A: float = 0.0) -> Floats:
        """Voltage with an instrument across: its conductance and a current out of its red lead.

        Solved again with a current pushed; relays and controllers stay as they are. (B,)
        """
        open_V = self.now.voltage_V(red, black)
        if red == black or (conductance_S == 0.0 and current_A == 0.0):
            return open_V
        # A millionth of an ampere tells the resistance between the leads and moves nothing else, so that
        # the small current of a voltmeter follows from it exactly; a test current is pushed as it is.
        trial_A = current_A if current_A else -1e-6
        load, node = self._load, nodes()
        load.pushed_A[:] = trial_A
        load.red, load.black = node[red], node[black]
        engine.run(load, PROBE)
        resistance = np.maximum((load.probed_V - open_V) / trial_A, 0.0)
        return np.asarray((open_V + resistance * current_A) / (1.0 + resistance * conductance_S))

    def current_A(self, branch: str) -> Floats:
        """Current in A through a part of the wiring, from its first terminal to its second; (B,)."""
        row = harness().row
        if branch not in row:
            raise DataError(f"No part of the wiring is called {branch!r}; {nearest(branch, row)}")
        return self.now.current_A(branch)

    def waveform(self, red: str, black: str) -> PulseTrain | None:
        """The pulse-width-modulated voltage between two terminals; None where nothing switches."""
        return ripple.waveform(self, red, black)

    def temperature_C(self, point: str) -> Floats:
        """Temperature of a point a contact thermometer can touch; (B,). DataError names the nearest point."""
        return senses.temperature_C(self, point)

    def senses(self, location: str) -> dict[str, NDArray[np.str_]]:
        """What eyes, hands and ears tell at a location: a word for each thing, per draw."""
        return senses.at(self, location)

    def codes(self) -> list[list[tuple[int, int, int]]] | None:
        """Codes in the controller of each draw as (SPN, FMI, occurrence count), before they are packed."""
        return [
            [(code.spn, code.fmi, count) for code, count in self.controller.stored(i)]
            for i in range(self.batch)
        ]

    def link_answers(self) -> Flags:
        """Whether the controller answers on the data link, (B,): awake, and both wires whole."""
        return live.answers(self)

    def live(self, name: str) -> Floats:
        """A live value before it is packed; nan where none is sent. DataError names the nearest name."""
        return live.value(self, name)

    def frames(self, pgn: int) -> NDArray[np.uint8]:
        """Bodies of a parameter group on the data link, (B, 8)."""
        return live.frames(self, pgn)

    def codes_messages(self) -> list[bytes | None]:
        """Body of each draw's DM1 message on the data link; None where none comes."""
        return live.codes_messages(self)

    @property
    def time_s(self) -> float:
        """Seconds since the truck came in; of the draw furthest behind, while one is being watched."""
        return float(self._load.states["time_s"].min())

    @property
    def panel_alive(self) -> Flags:
        """Whether the operator panel is lit, (B,)."""
        return np.asarray(self._load.states["panel_alive"])

    @property
    def blower_fraction(self) -> Floats:
        """Speed of the blower as a share of its rated speed, (B,)."""
        return np.asarray(self._load.states["blower_fraction"])

    @property
    def fan_fraction(self) -> Floats:
        """Speed of the condenser fan as a share of full speed, (B,)."""
        return np.asarray(self._load.states["fan_fraction"])

    # ---- time ----

    def advance(self, seconds: float, watch: Callable[[Truck], None] | None = None, times: int = 1) -> None:
        """Let time pass, so many ``times`` over: to the last digit as if asked for one by one.

        ``watch`` is called after each usual step, first with the present moment. In a batch each draw then stands at its
        own moment, at most a step from the others'; a draw that has arrived waits. Raises ValueError for a time that is
        negative or not a number.
        """
        if not seconds >= 0.0 or seconds == np.inf:
            raise ValueError(f"Time cannot advance by {seconds} s; give a finite number of 0 or more.")
        if watch is None:
            engine.run(self._load, ADVANCE, float(seconds), times=times)
            return
        watch(self)
        left = float(seconds) * times
        steps = max(round(USUAL / float(self._load.hand["step_scale"][0])), 1)
        while left > 1e-9:
            engine.run(self._load, ADVANCE, left if left == seconds * times else 0.0, steps)
            left = float(self._load.states["left_s"].max())
            watch(self)

    # ---- what hands have moved ----

    def _touched(self, job: int = SETTLE) -> None:
        load, controls = self._load, self.controls
        hand = load.hand
        hand["key_on"], hand["engine"] = controls.key != "off", controls.key == "engine"
        hand["parked_cooling"] = controls.parked_cooling
        hand["blower_step"] = controls.blower_step
        hand["set_temperature_C"] = controls.set_temperature_C
        hand["plugged_in"] = "X30" not in controls.parted
        hand["warmed"] = [name in controls.warmed for name in SENSOR_CURVES]
        load.siemens[:] = self._at_rest_S()
        engine.run(load, job)

    def _at_rest_S(self) -> Floats:
        """Conductances of all branches as fuses and plugs stand, (B, branches), what works in them left aside."""
        row, siemens = harness().row, self._fixed_S.T.copy()
        for name in self.controls.pulled:
            siemens[:, row[name]] = 0.0
        for name in self.controls.parted:
            for contact in catalogue().connectors[name].opens:
                siemens[:, row[contact]] = 0.0
        return siemens


class Packed:
    """Trucks as they stood, in less room: of the wiring only what moves; they share what time does not change."""

    def __init__(self, truck: Truck) -> None:
        self._like = copy.copy(truck)
        # Views of arrays that are not kept; the trucks get their own again.
        for name in ("_load", "now", "isolator", "controller", "compressor", "climate"):
            delattr(self._like, name)
        self._like.controls = copy.deepcopy(truck.controls)
        self._load = packed(truck._load)

    def truck(self) -> Truck:
        """Trucks that stand so, to go on; these stay packed for others."""
        truck = copy.copy(self._like)
        truck.controls = copy.deepcopy(self._like.controls)
        truck._read(unpacked(self._load, truck._at_rest_S()))
        return truck
