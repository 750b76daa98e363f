"""Alternator with regulator: a voltage it holds, a current it cannot exceed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = float | NDArray[np.float64]

ROUNDING_FRACTION = 0.01  # of the largest current: how softly the current limit sets in; keeps Newton smooth
_LARGEST_EXPONENT = 60.0  # beyond it a logistic is 0 or 1 to double precision


@dataclass(frozen=True)
class AlternatorParameters:
    """An alternator and its regulator; floats or arrays of shape (B,).

    ``slope_V_per_K`` is negative: a cold battery is charged at a higher voltage. ``idle_fraction`` is the
    share of the largest current that is left at idle; ``slip_factor`` the share of the pulley's speed that
    a slipping belt hands on; ``output_factor`` 0 for an alternator that gives nothing. Speeds are fractions
    of the cruise speed.
    """

    setpoint_V: Floats
    max_current_A: Floats
    slope_V_per_K: Floats = -0.024
    idle_fraction: Floats = 0.5
    regulator_resistance_ohm: Floats = 0.004
    slip_factor: Floats = 1.0
    output_factor: Floats = 1.0
    idle_speed_fraction: Floats = 0.35
    cut_in_speed_fraction: Floats = 0.15


def setpoint_V(p: AlternatorParameters, temperature_C: Floats = 25.0) -> NDArray[np.float64]:
    """Voltage in V that the regulator holds at its temperature in °C."""
    return np.asarray(p.setpoint_V + p.slope_V_per_K * (np.asarray(temperature_C, dtype=np.float64) - 25.0))


def available_current_A(p: AlternatorParameters, speed_fraction: Floats) -> NDArray[np.float64]:
    """Largest current in A at a speed: none below cut-in, ``idle_fraction`` at idle, all of it at cruise.

    A power law through the two points, for want of a maker's curve (common practice, no source).
    """
    turning = np.asarray(speed_fraction, dtype=np.float64) * p.slip_factor
    idle = (p.idle_speed_fraction - p.cut_in_speed_fraction) / (1.0 - np.asarray(p.cut_in_speed_fraction))
    above = np.clip(
        (turning - p.cut_in_speed_fraction) / (1.0 - np.asarray(p.cut_in_speed_fraction)), 0.0, 1.0
    )
    exponent = np.log(p.idle_fraction) / np.log(idle)
    return np.asarray(p.max_current_A * np.asarray(p.output_factor) * above**exponent)


def current_A(
    terminal_V: Floats,
    p: AlternatorParameters,
    temperature_C: Floats = 25.0,
    speed_fraction: Floats = 1.0,
) -> NDArray[np.float64]:
    """Current in A out of the positive terminal at a terminal voltage in V: falls smoothly, never below 0."""
    wanted, limit, rounding = _demand(terminal_V, p, temperature_C, speed_fraction)
    return np.asarray(rounding * (_softplus(wanted / rounding) - _softplus((wanted - limit) / rounding)))


def slope_S(
    terminal_V: Floats,
    p: AlternatorParameters,
    temperature_C: Floats = 25.0,
    speed_fraction: Floats = 1.0,
) -> NDArray[np.float64]:
    """Derivative in S of ``current_A`` by the terminal voltage: zero or negative."""
    wanted, limit, rounding = _demand(terminal_V, p, temperature_C, speed_fraction)
    share = _logistic(wanted / rounding) - _logistic((wanted - limit) / rounding)
    return np.asarray(-share / p.regulator_resistance_ohm)


def _demand(
    terminal_V: Floats, p: AlternatorParameters, temperature_C: Floats, speed_fraction: Floats
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    below = setpoint_V(p, temperature_C) - np.asarray(terminal_V, dtype=np.float64)
    limit = available_current_A(p, speed_fraction)
    return below / p.regulator_resistance_ohm, limit, np.asarray(ROUNDING_FRACTION * p.max_current_A)


def _softplus(x: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.logaddexp(0.0, x))


def _logistic(x: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip(x, -_LARGEST_EXPONENT, _LARGEST_EXPONENT))))
