"""A bunk for tests: invented, of the size that sleeper-cab studies report."""

from __future__ import annotations

from dataclasses import replace

from parked_hvac.physics.cabin import CabinParameters, CabinState, advance

__all__ = ["BUNK", "replace", "settled"]

BUNK = CabinParameters(
    air_capacity_J_per_K=12e3,
    mass_capacity_J_per_K=140e3,
    air_to_mass_W_per_K=60.0,
    air_to_outside_W_per_K=12.0,
    mass_to_outside_W_per_K=40.0,
    leak_m3_per_s=0.004,
    curtain_open_m3_per_s=0.05,
    air_mass_kg=7.0,
)


def settled(p: CabinParameters, outside_C: float, **conditions) -> CabinState:
    """The bunk after a month under steady conditions."""
    start = CabinState(25.0, 25.0, 0.01)
    return advance(start, p, 30 * 86400.0, outside_C, outside_humidity_ratio_kg_per_kg=0.01, **conditions)
