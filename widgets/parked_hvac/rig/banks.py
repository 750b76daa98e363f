"""The two banks: every battery on its own, side by side in arrays."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from parked_hvac.physics import battery
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.parameters import Floats, Parameters, figure

_FULL_V = 0.95  # surface charge in V of a sound battery as the engine stops; bleeds off by physics/battery.py


class Bank:
    """Equal batteries in parallel; arrays are (batteries, B)."""

    def __init__(self, name: str, parameters: Parameters, conditions: Conditions) -> None:
        made = catalogue().banks[name]
        self.batteries = tuple(f"{name}.{i}" for i in range(1, made.batteries + 1))
        self._chemistry: battery.Chemistry = "agm" if made.chemistry == "agm" else "flooded"
        self.adopt(parameters)
        wanted = conditions.aux_charge if name == "G2" else conditions.start_charge
        shift = wanted - figure(f"{name}.1.state_of_charge").value
        charge = np.clip(self._stack(parameters, "state_of_charge") + shift, 0.03, 1.0)
        rested = battery.BatteryState(
            state_of_charge=charge,
            temperature_C=np.full_like(charge, conditions.outside_C),
            fast_V=np.zeros_like(charge),
            slow_V=np.zeros_like(charge),
            surface_V=np.full_like(charge, _FULL_V) * charge,
            draw_A=np.zeros_like(charge),
        )
        rested = battery.advance(
            rested, self.parameters, np.zeros_like(charge), conditions.engine_off_h * 3600.0
        )
        planted = self._stack(parameters, "surface_V")
        self.state = replace(rested, surface_V=np.maximum(rested.surface_V, planted))

    def _stack(self, parameters: Parameters, field: str) -> Floats:
        return np.stack([parameters[f"{name}.{field}"] for name in self.batteries])

    def adopt(self, parameters: Parameters) -> None:
        """Take over the figures, as after a repair; the state stays."""
        capacity = self._stack(parameters, "capacity_Ah")
        self.parameters = replace(
            battery.typical(self._chemistry, capacity),
            resistance_ohm=self._stack(parameters, "resistance_ohm"),
            resistance_factor=self._stack(parameters, "resistance_factor"),
            capacity_factor=self._stack(parameters, "capacity_factor"),
            shorted_cells=self._stack(parameters, "shorted_cells"),
        )

    def renew(self, index: int, charge: float) -> None:
        """A fresh, rested battery in place ``index`` at a state of charge."""
        for name in ("fast_V", "slow_V", "surface_V", "draw_A"):
            np.asarray(getattr(self.state, name))[index] = 0.0
        np.asarray(self.state.state_of_charge)[index] = charge

    def emf_V(self) -> Floats:
        """Voltage behind the ohmic resistance, (batteries, B)."""
        return battery.emf_V(self.state, self.parameters)

    def ohmic_ohm(self) -> Floats:
        """Ohmic resistance, (batteries, B)."""
        return battery.ohmic_ohm(self.state, self.parameters)

    def advance(self, current_A: Floats, seconds: float) -> None:
        """Integrate a step; current (batteries, B), positive when discharging."""
        self.state = battery.advance(self.state, self.parameters, current_A, seconds)
