"""The electrical equilibrium of all draws at this moment, as readers see it."""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from parked_hvac.rig.harness import GROUND, harness
from parked_hvac.rig.kernel import loads
from parked_hvac.rig.kernel.load import Load
from parked_hvac.rig.kernel.numbers import LOADS
from parked_hvac.rig.kernel.wiring import nodes
from parked_hvac.rig.parameters import Floats

LOAD_FIGURES = (
    "drive_minimum_V",
    "blower_resistance_ohm",
    "blower_constant_V_per_rad_s",
    "blower_fan_torque",
    "blower_friction_Nm",
    "fan_minimum_V",
    "fan_standby_A",
    "alternator_held_V",
    "alternator_available_A",
    "alternator_max_current_A",
    "alternator_regulator_ohm",
)


class Equilibrium:
    """Voltages of all nodes against the frame, and the currents that follow."""

    def __init__(self, load: Load) -> None:
        self._load = load

    def voltage_V(self, red: str, black: str = GROUND) -> Floats:
        """Voltage of ``red`` against ``black``, (B,)."""
        volts, node = self._load.volts, nodes()
        return np.asarray(volts[:, node[red]] - volts[:, node[black]])

    @cached_property
    def voltages(self) -> dict[str, Floats]:
        """Voltage of every node against the frame, (B,) each; they follow the truck."""
        return {name: self._load.volts[:, number] for name, number in nodes().items()}

    @property
    def conductance_S(self) -> Floats:
        """Conductance of every branch, (branches, B), in the order of the harness."""
        return self._load.siemens.T

    @property
    def source_V(self) -> Floats:
        """Voltage of the source behind every branch, (branches, B), positive at its first node; 0 for none."""
        return self._load.source_V.T

    def load_figures(self, draw: int) -> dict[str, float]:
        """What the laws of the loads that are no resistors go by in one draw, by name, SI units."""
        state: Any = self._load.states.view(np.recarray)[draw]
        figures: Any = self._load.figures.view(np.recarray)[draw]
        hand: Any = self._load.hand.view(np.recarray)[0]
        return {
            "engine": float(hand.engine),
            "power_W": float(loads.drive_power_W(state, figures, hand.plugged_in)),
            "fan_W": float(loads.fan_taken_W(state, figures)),
            **{name: float(figures[name]) for name in LOAD_FIGURES},
        }

    def current_A(self, branch: str) -> Floats:
        """Current through a branch from its first to its second node, (B,)."""
        layout = harness()
        row = layout.row[branch]
        a, b = layout.ends[row]
        return np.asarray(self._load.siemens[:, row] * (self.voltage_V(a, b) - self._load.source_V[:, row]))

    def load_A(self) -> dict[tuple[str, str], Floats]:
        """Current through each load that is no resistor, from its first terminal to its second; (B,)."""
        load, taken = self._load, np.zeros((len(LOADS), self._load.states.size))
        hand: Any = load.hand.view(np.recarray)[0]
        states: NDArray[Any] = load.states.view(np.recarray)
        figures: NDArray[Any] = load.figures.view(np.recarray)
        for b, (draw, p) in enumerate(zip(states, figures, strict=True)):
            powers = loads.drive_power_W(draw, p, hand.plugged_in), loads.fan_taken_W(draw, p)
            for i in range(loads.load_count(hand)):
                taken[i, b], _ = loads.law(i, float(self.voltage_V(*LOADS[i])[b]), p, *powers)
        return dict(zip(LOADS, taken, strict=True))
