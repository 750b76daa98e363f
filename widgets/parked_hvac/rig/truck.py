"""The training truck: one or many draws of it, faulted or sound, moving through time.

Every voltage is found by solving the wiring at that moment. Between two moments the batteries, temperatures
and delays are integrated; relays and controllers follow what they see at their own terminals.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics import motor
from parked_hvac.physics.waveform import PulseTrain
from parked_hvac.rig import live, moment, ripple, senses
from parked_hvac.rig.banks import Bank
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.climate import Climate
from parked_hvac.rig.compressor import CompressorDrive
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.controller import SENSOR_CURVES, Controller, Pins
from parked_hvac.rig.controls import KEY_POSITIONS, Controls
from parked_hvac.rig.electrics import FEW_DRAWS, Equilibrium, solve
from parked_hvac.rig.harness import GROUND, RELAYS, fixed_conductance_S, harness
from parked_hvac.rig.isolator import Isolator
from parked_hvac.rig.parameters import Floats, Parameters
from parked_hvac.tables import DataError, nearest

Flags = NDArray[np.bool_]

_SHORTEST_STEP_S = 0.5
_SHORTEST_STEP_OF_MANY_S = 3.0
_LONGEST_STEP_OF_MANY_S = 20.0
_COARSER = 3.0  # how much further temperatures may move in one step of many draws
_LEADING_SHARE = 0.15
"""Many draws step together: some delay or contact among them moves all the time. The delays of this share
of them, not the very first one, set the step; a contact that moves in one does not cut it for the others."""
_LONGEST_STEP_S = 60.0
_GROWTH = 2.0
_SETTLINGS_OF_MANY = 4
_SETTLINGS = 10  # rounds in which relays may follow each other; a chattering relay stays as it last was
_COMMAND_V = 1e-3  # a smaller move of the fan command does not ask for another solve


class Truck:
    """The rig. Arrays are (B,): one entry per draw.

    ``parameters`` are the figures of every draw; ``conditions`` say how the truck comes in. At the start the
    key is off and nothing is asked for.
    """

    def __init__(self, parameters: Parameters, conditions: Conditions | None = None) -> None:
        self.parameters = parameters
        self.conditions = conditions or Conditions()
        self.batch = parameters.batch
        self.time_s = 0.0
        self.controls = Controls()
        self.isolator = Isolator(parameters)
        self.controller = Controller(parameters)
        self.compressor = CompressorDrive(parameters)
        self.banks = {name: Bank(name, parameters, self.conditions) for name in catalogue().banks}
        self.climate = Climate(parameters, self.conditions)
        self.relay_closed = {name: self.welded(name) for name in RELAYS}
        self.fixed_S = fixed_conductance_S(parameters, self.conditions.outside_C)
        self.panel_alive = np.zeros(self.batch, dtype=bool)
        self.fan_command_V = np.zeros(self.batch)
        self._step_s = _SHORTEST_STEP_S
        self.solved = False
        self.now = self._equilibrium()
        self.compressor.capacitor_V = self.now.voltage_V("T1.+", "T1.-")
        self._settle()

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
        self.compressor.capacitor_V = np.zeros(self.batch)
        self.compressor.advance_capacitor(self.now.voltage_V("T1.+", "T1.-"), 0.0)
        self._touched()

    def repair(self, parameters: Parameters, renewed: tuple[str, ...] = ()) -> None:
        """Go on with other figures, as after a repair; ``renewed`` batteries come fresh and charged."""
        self.parameters = parameters
        adopt = [part.adopt for part in (self.isolator, self.controller, self.compressor, self.climate)]
        for take_over in (*adopt, *(bank.adopt for bank in self.banks.values())):
            take_over(parameters)
        for battery in renewed:
            bank, _, number = battery.rpartition(".")
            self.banks[bank].renew(int(number) - 1, 0.95)
        for name in RELAYS:
            self.relay_closed[name] = self.relay_closed[name] | self.welded(name)
        self.fixed_S = fixed_conductance_S(parameters, self.conditions.outside_C)
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
        trial_A = np.full(self.batch, current_A if current_A else -1e-6)
        pushed_V = self._equilibrium({red: trial_A, black: -trial_A}).voltage_V(red, black)
        resistance = np.maximum((pushed_V - open_V) / trial_A, 0.0)
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
        """Stored codes of each draw as (SPN, FMI, occurrence count)."""
        return [
            [(code.spn, code.fmi, count) for code, count in self.controller.stored(i)]
            for i in range(self.batch)
        ]

    def link_answers(self) -> Flags:
        """Whether the controller answers on the data link, (B,): awake, and both wires whole."""
        return live.answers(self)

    def live(self, name: str) -> Floats:
        """A live value as the controller sends it; nan where none comes. DataError names the nearest name."""
        return live.value(self, name)

    @property
    def blower_fraction(self) -> Floats:
        """Speed of the blower as a share of its rated speed, (B,)."""
        p = self.parameters
        speed = motor.brushed_speed_rad_s(
            np.maximum(self.now.voltage_V("M2.+", "M2.-"), 0.0),
            p["blower.resistance_ohm"],
            p["blower.constant_V_per_rad_s"],
            p["blower.fan_torque"],
            p["blower.friction_Nm"],
        )
        return np.minimum(speed / p["blower.rated_rad_s"], 1.3)

    @property
    def fan_fraction(self) -> Floats:
        """Speed of the condenser fan as a share of full speed, (B,)."""
        return motor.fan_speed_fraction(
            self.now.voltage_V("M3.+", "M3.-"), self.fan_command_V, moment.fan(self)
        )

    # ---- time ----

    def advance(self, seconds: float, watch: Callable[[Truck], None] | None = None) -> None:
        """Let time pass. ``watch`` is called after each electrical solve, first with the present moment.

        Raises ValueError for a time that is negative or not a number.
        """
        if not seconds >= 0.0 or seconds == np.inf:
            raise ValueError(f"Time cannot advance by {seconds} s; give a finite number of 0 or more.")
        left = float(seconds)
        if watch is not None:
            watch(self)
        while left > 1e-9:
            step = min(left, self._step())
            moved = self._integrate(step)
            self.time_s += step
            left -= step
            moved += self._settle()
            few = self.batch <= FEW_DRAWS
            longest = _LONGEST_STEP_S if few else _LONGEST_STEP_OF_MANY_S
            restart = moved > (0 if few else self.batch // 4)
            self._step_s = self._shortest_s if restart else min(self._step_s * _GROWTH, longest)
            if watch is not None:
                watch(self)

    def _step(self) -> float:
        events = np.minimum(self.isolator.next_event_s(), self.controller.next_event_s())
        soonest = float(events.min() if self.batch <= FEW_DRAWS else _leading(events))
        smooth = self.climate.longest_step_s() * (1.0 if self.batch <= FEW_DRAWS else _COARSER)
        return max(self._shortest_s, min(self._step_s, soonest, smooth))

    @property
    def _shortest_s(self) -> float:
        return _SHORTEST_STEP_S if self.batch <= FEW_DRAWS else _SHORTEST_STEP_OF_MANY_S

    def _integrate(self, seconds: float) -> int:
        now = self.now
        for bank in self.banks.values():
            # A branch current flows from + through the battery to −, so discharging is its negative.
            drawn = -np.stack([now.current_A(name) for name in bank.batteries])
            bank.advance(drawn, seconds)
        self.compressor.advance_capacitor(now.voltage_V("T1.+", "T1.-"), seconds)
        self.climate.advance(
            self.compressor.rpm, self.fan_fraction, self.blower_fraction, self.controls.warmed, seconds
        )
        self.isolator.advance(now.voltage_V("Q1.S", "Q1.G"), seconds)
        moved = self.controller.advance(self._pins(), seconds)
        self.compressor.advance(now.voltage_V("T1.C", "T1.-"), seconds)
        return moved

    def _pins(self) -> Pins:
        now = self.now
        controls = self.controls
        step = controls.blower_step
        dead_step = self.parameters["panel.blower_dead_step"] == step
        asked = self.panel_alive & (moment.run_signal(self) | moment.pressed(self)) & ~dead_step
        knob_dead = self.parameters["panel.temperature_dead"] > 0.5
        return Pins(
            supply_V=now.voltage_V("K0.+", "K0.-"),
            sensor_V={name: now.voltage_V(f"K0.{name}", "K0.B0") for name in SENSOR_CURVES},
            switch_V=now.voltage_V("K0.S", "K0.-"),
            asked=asked,
            blower_step=step,
            set_temperature_C=np.where(knob_dead, 28.0, controls.set_temperature_C),
            turning=self.compressor.driving & self.compressor.can_turn,
            over_current=self.compressor.over_current,
            condensing_C=self.climate.condensing_C,
        )

    def _touched(self) -> None:
        self._step_s = self._shortest_s
        self._settle()

    # ---- equilibrium ----

    def _settle(self) -> int:
        """Solve and let relays and controllers follow until nothing moves; in how many draws one did."""
        any_moved = np.zeros(self.batch, dtype=bool)
        for _ in range(_SETTLINGS if self.batch <= FEW_DRAWS else _SETTLINGS_OF_MANY):
            self.now = self._equilibrium()
            moved, again = self._follow()
            any_moved |= moved
            if not (moved.any() or again):
                break
        return int(any_moved.sum())

    def _follow(self) -> tuple[Flags, bool]:
        """In which draws a contact or controller moved, and whether a command that loads depend on did."""
        now, p = self.now, self.parameters
        moved = self.isolator.settle(now.voltage_V("Q1.S", "Q1.G"))
        moved |= self.controller.settle(now.voltage_V("K0.+", "K0.-"))
        alive = now.voltage_V("P1.+", "P1.-") > p["panel.minimum_V"]
        moved |= alive != self.panel_alive
        self.panel_alive = alive
        for name in RELAYS:
            # A coil pulls by its current: told here as the voltage that drives it through a sound coil.
            coil = np.abs(now.current_A(f"coil {name}")) * catalogue().relays[name].coil_ohm
            closed = coil > np.where(self.relay_closed[name], p["relay.drop_out_V"], p["relay.pull_in_V"])
            closed = closed | self.welded(name)
            moved |= closed != self.relay_closed[name]
            self.relay_closed[name] = closed
        self.compressor.plugged_in = "X30" not in self.controls.parted
        supply = now.voltage_V("T1.+", "T1.-")
        moved |= self.compressor.settle(supply, now.voltage_V("T1.E", "T1.-"), now.voltage_V("T1.C", "T1.-"))
        command = now.voltage_V("M3.C", "M3.-")
        again = bool((np.abs(command - self.fan_command_V) > _COMMAND_V).any())
        self.fan_command_V = command
        return moved, again

    def _equilibrium(self, extra: dict[str, Floats] | None = None) -> Equilibrium:
        start = self.now.voltages if self.solved else None
        made = solve(
            moment.conductance_S(self), moment.sources_V(self), moment.port_loads(self), start, extra
        )
        self.solved = True
        return made

    def welded(self, relay: str) -> Flags:
        """In which draws a relay's contact is welded shut, (B,)."""
        return self.parameters[f"relay_{relay}.welded"] > 0.5


def _leading(events_s: Floats) -> float:
    """The time by which the leading share of the draws has an event."""
    place = int(_LEADING_SHARE * (events_s.size - 1))
    return float(np.partition(events_s, place)[place])
