"""The meter as a source: a constant test current that gives up at its open-lead voltage."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from parked_hvac.instruments.outcome import Floats
from parked_hvac.instruments.specification import Function

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck

_NO_CURRENT_A = 1e-300


def junction_V(truck: Truck, red: str, black: str, current_A: float, limit_V: float) -> Floats:
    """Voltage (B,) between the terminals with the meter's source on them: ``limit_V`` behind limit/current ohm."""
    return truck.probe(red, black, conductance_S=current_A / limit_V, current_A=current_A)


def apparent_ohm(
    truck: Truck, red: str, black: str, current_A: float, limit_V: float, standing_V: Floats
) -> Floats:
    """Voltage at the test current over the test current (B,), inf where the source cannot hold its current.

    ``standing_V`` (B,) is the voltage between the terminals without the meter. A foreign voltage E in the circuit
    makes R into R + E/current_A: that is the wrong reading a live circuit gives (closed form).
    """
    # Pushing the full current into an open circuit would raise its voltage without end, which no meter does. So the
    # network is asked at the bounded source of junction_V, and what opposes the current there is scaled up to it.
    pushed_V = junction_V(truck, red, black, current_A, limit_V)
    flowing_A = current_A * (1.0 - pushed_V / limit_V)
    flowing_A = np.where(np.abs(flowing_A) < _NO_CURRENT_A, _NO_CURRENT_A, flowing_A)
    with np.errstate(over="ignore"):
        opposing_ohm = (pushed_V - standing_V) / flowing_A
        held_V = standing_V + opposing_ohm * current_A
    return np.where(np.abs(held_V) < limit_V, held_V / current_A, np.inf)


def auto_ranged_ohm(
    truck: Truck, red: str, black: str, function: Function, limit_V: float, lead_ohm: float
) -> Floats:
    """Resistance (B,) in the smallest range that holds it, the test leads included; inf beyond the last range."""
    assert function.test_current_A is not None
    standing_V = truck.voltage_V(red, black)
    found = np.full(truck.batch, np.inf)
    waiting = np.ones(truck.batch, dtype=bool)
    for current_A, full_scale_ohm in zip(
        function.test_current_A.value, function.full_scale.value, strict=True
    ):
        apparent = apparent_ohm(truck, red, black, current_A, limit_V, standing_V) + lead_ohm
        fits = waiting & (np.abs(apparent) < full_scale_ohm)
        found = np.where(fits, apparent, found)
        waiting = waiting & ~fits
        if not waiting.any():
            break
    return found
