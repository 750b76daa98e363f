"""The meter as a source: a constant test current that gives up at its open-lead voltage."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from parked_hvac.instruments.outcome import Floats
from parked_hvac.instruments.specification import Function

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck

_NO_CURRENT_A = 1e-300
_MARGIN = 2.0  # a circuit that is not quite linear may answer lower in another range


def junction_V(truck: Truck, red: str, black: str, current_A: float, limit_V: float) -> Floats:
    """Voltage (B,) with the meter's source on the terminals: ``limit_V`` behind limit/current ohm."""
    return truck.probe(red, black, conductance_S=current_A / limit_V, current_A=current_A)


def apparent_ohm(
    truck: Truck, red: str, black: str, current_A: float, limit_V: float, standing_V: Floats
) -> Floats:
    """Voltage at the test current over the test current (B,), inf where the source cannot hold its current.

    ``standing_V`` (B,) is the voltage between the terminals without the meter. A foreign voltage E in the
    circuit makes R into R + E/current_A: that is the wrong reading a live circuit gives (closed form).
    """
    held_V = standing_V + current_A * opposing_ohm(truck, red, black, current_A, limit_V, standing_V)
    return np.where(np.abs(held_V) < limit_V, held_V / current_A, np.inf)


def opposing_ohm(
    truck: Truck, red: str, black: str, current_A: float, limit_V: float, standing_V: Floats
) -> Floats:
    """What the network opposes to a small change of current between the terminals, in ohm (B,)."""
    # The full current in an open circuit would raise its voltage without end, which no meter does. So the
    # network is asked at the bounded source of junction_V, and the answer is scaled to the test current.
    pushed_V = junction_V(truck, red, black, current_A, limit_V)
    flowing_A = current_A * (1.0 - pushed_V / limit_V)
    flowing_A = np.where(np.abs(flowing_A) < _NO_CURRENT_A, _NO_CURRENT_A, flowing_A)
    with np.errstate(over="ignore"):
        return (pushed_V - standing_V) / flowing_A


def auto_ranged_ohm(
    truck: Truck, red: str, black: str, function: Function, limit_V: float, lead_ohm: float
) -> Floats:
    """Resistance (B,) in the smallest range that holds it, test leads included; inf beyond the last range."""
    assert function.test_current_A is not None
    currents_A, full_scales_ohm = function.test_current_A.value, function.full_scale.value
    standing_V = truck.voltage_V(red, black)
    # A linear circuit answers alike in every range; ranges that cannot hold the answer are not solved.
    opposing = opposing_ohm(truck, red, black, currents_A[0], limit_V, standing_V) + lead_ohm
    found = np.full(truck.batch, np.inf)
    waiting = np.ones(truck.batch, dtype=bool)
    for current_A, full_scale_ohm in zip(currents_A, full_scales_ohm, strict=True):
        foretold = opposing + standing_V / current_A
        hopeful = waiting & (np.abs(foretold) < full_scale_ohm * _MARGIN)
        if not hopeful.any():
            continue
        apparent = apparent_ohm(truck, red, black, current_A, limit_V, standing_V) + lead_ohm
        fits = hopeful & (np.abs(apparent) < full_scale_ohm)
        found = np.where(fits, apparent, found)
        waiting = waiting & ~fits
        if not waiting.any():
            break
    return found
