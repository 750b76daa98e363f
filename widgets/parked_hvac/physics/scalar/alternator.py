"""Alternator with regulator, for one alternator."""

from __future__ import annotations

import math

ROUNDING_FRACTION = 0.01  # of the largest current: how softly the current limit sets in; keeps Newton smooth
_LARGEST_EXPONENT = 60.0  # beyond it a logistic is 0 or 1 to double precision


def available_current_A(
    speed_fraction: float,
    max_current_A: float,
    output_factor: float,
    slip_factor: float,
    idle_fraction: float,
    idle_speed_fraction: float,
    cut_in_speed_fraction: float,
) -> float:
    """Largest current in A at a speed; the law stands at ``alternator.available_current_A``."""
    turning = speed_fraction * slip_factor
    idle = (idle_speed_fraction - cut_in_speed_fraction) / (1.0 - cut_in_speed_fraction)
    above = min(max((turning - cut_in_speed_fraction) / (1.0 - cut_in_speed_fraction), 0.0), 1.0)
    if above <= 0.0:
        return 0.0
    return float(max_current_A * output_factor * above ** (math.log(idle_fraction) / math.log(idle)))


def current(
    terminal_V: float, setpoint_V: float, available_A: float, max_current_A: float, regulator_ohm: float
) -> tuple[float, float]:
    """Current in A out of the positive terminal and its slope in S by the terminal voltage."""
    wanted = (setpoint_V - terminal_V) / regulator_ohm
    rounding = ROUNDING_FRACTION * max_current_A
    over, beyond = wanted / rounding, (wanted - available_A) / rounding
    out_A = rounding * (_softplus(over) - _softplus(beyond))
    return out_A, -(_logistic(over) - _logistic(beyond)) / regulator_ohm


def _softplus(x: float) -> float:
    return max(x, 0.0) + math.log1p(math.exp(-abs(x)))


def _logistic(x: float) -> float:
    return 1.0 / (1.0 + math.exp(-min(max(x, -_LARGEST_EXPONENT), _LARGEST_EXPONENT)))
