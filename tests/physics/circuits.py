"""A parked unit's circuit for tests: invented, sized for 2 kW at 35 °C outside."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from parked_hvac.physics import air
from parked_hvac.physics.unit import Balance, CircuitParameters, balance

__all__ = ["UNIT", "conditions", "draws", "replace", "run"]

UNIT = CircuitParameters(
    displacement_m3=17e-6,
    volumetric_efficiency=0.95,
    clearance=0.02,
    isentropic_efficiency=0.65,
    friction_Nm=0.1,
    superheat_K=5.0,
    subcooling_K=5.0,
    starving_charge=0.8,
    gas_only_charge=0.1,
    evaporator_air_W_per_K=170.0,
    evaporator_refrigerant_W_per_K=360.0,
    evaporator_flow_m3_per_s=0.105,
    ice_full_kg=0.6,
    condenser_W_per_K=300.0,
    condenser_flow_m3_per_s=0.25,
    condenser_still_share=0.16,
)


def conditions(**changes: Any) -> dict[str, Any]:
    """A hot afternoon with everything whole, changed as told."""
    usual: dict[str, Any] = {
        "speed_rpm": 3000.0,
        "charge_fraction": 1.0,
        "condenser_fan_fraction": 1.0,
        "condenser_blockage": 0.0,
        "outside_C": 35.0,
        "blower_flow_m3_per_s": 0.105,
        "ice_kg": 0.0,
        "bunk_C": 27.0,
        "bunk_humidity_ratio": float(air.humidity_ratio(27.0, 0.5)),
    }
    assert not set(changes) - set(usual), "a misspelt condition would test nothing"
    return usual | changes


def run(
    p: CircuitParameters = UNIT, guess: Balance | None = None, steps: int | None = None, **changes: Any
) -> Balance:
    """The settled circuit under `conditions`."""
    return balance(p, **conditions(**changes), guess=guess, steps=steps)


def draws(count: int, seed: int) -> dict[str, np.ndarray]:
    """Conditions far beyond what a truck meets: dirt, ice, lost charge and dead fans together."""
    rng = np.random.default_rng(seed)
    bunk = rng.uniform(0.0, 55.0, count)
    return {
        "speed_rpm": rng.uniform(300.0, 4500.0, count),
        "charge_fraction": rng.uniform(0.11, 1.05, count),
        "condenser_fan_fraction": rng.choice([0.0, 0.3, 0.6, 1.0], count),
        "condenser_blockage": rng.uniform(0.0, 0.95, count),
        "outside_C": rng.uniform(-5.0, 50.0, count),
        "blower_flow_m3_per_s": rng.uniform(0.0, 0.15, count),
        "ice_kg": rng.uniform(0.0, 0.7, count),
        "bunk_C": bunk,
        "bunk_humidity_ratio": air.humidity_ratio(bunk, rng.uniform(0.05, 0.98, count)),
    }
