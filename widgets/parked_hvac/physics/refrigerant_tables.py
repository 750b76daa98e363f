"""R-134a tabulated as polynomials, for the circuit that is solved thousands of times.

Fitted once per process to `refrigerant` itself, so there is one truth; between -50 and +35 °C evaporating,
up to 93 °C condensing and 70 K of superheat they stay within 0.3 % of it in density, 0.7 % in work and 0.3
kJ/kg in enthalpy (tests/physics/test_refrigerant_tables.py). Floats and arrays (n,) go through the same
arithmetic, physics/scalar/refrigerant.py.

Law: polynomials of temperature, superheat and logarithm of the pressure ratio.
Source: `refrigerant`, to which they are fitted.
Limits: the ranges above; `scalar/circuit_balance.py` holds its arguments inside them.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics import refrigerant
from parked_hvac.physics.scalar import refrigerant as law
from parked_hvac.physics.scalar.refrigerant import (
    HIGH_TERMS,
    HIGHEST_CONDENSING_C,
    HIGHEST_EVAPORATING_C,
    LOW_TERMS,
    LOWEST_CONDENSING_C,
    LOWEST_EVAPORATING_C,
    High,
    Low,
)

Floats = NDArray[np.float64]
Value = Any  # a float or an array (n,): both go through the same arithmetic


def low_side(evaporating_C: Value) -> Low:
    """Suction side at evaporating temperatures between -50 and 35 °C."""
    return law.low_side(coefficients(), evaporating_C)


def high_side(condensing_C: Value) -> High:
    """Discharge side at condensing temperatures between -10 and 93 °C."""
    return law.high_side(coefficients(), condensing_C)


def work_per_ln_ratio_J_per_kg(evaporating_C: Value, ln_ratio: Value, superheat_K: Value) -> Value:
    """Work of a loss-free compression in J/kg, divided by the logarithm of the pressure ratio."""
    return law.work_per_ln_ratio_J_per_kg(coefficients(), evaporating_C, ln_ratio, superheat_K)


@cache
def coefficients() -> tuple[float, ...]:
    """All coefficients in one row, as physics/scalar/refrigerant.py reads them."""
    return (*_low().ravel().tolist(), *_high().ravel().tolist(), *_work())


def _scale_and_nodes(lowest_C: float, highest_C: float) -> tuple[Floats, Floats]:
    nodes = np.cos(np.pi * (np.arange(14) + 0.5) / 14)  # Chebyshev's: the error spreads evenly over the range
    celsius = lowest_C + 0.5 * (nodes + 1.0) * (highest_C - lowest_C)
    return celsius, (celsius - 20.0) / 60.0


_SUPERHEAT_K = np.array([1.0, 10.0, 25.0, 45.0, 70.0])
_DISCHARGE_SUPERHEAT_K = np.array([2.0, 10.0, 20.0, 35.0, 55.0, 80.0, 110.0])


def _fit(terms: Floats, values: Floats) -> Floats:
    return np.asarray(np.linalg.lstsq(terms, values, rcond=None)[0], dtype=np.float64)


def _slope(row: Floats) -> Floats:
    return np.asarray(np.append(row[1:] * np.arange(1, row.size), 0.0) / 60.0, dtype=np.float64)


@cache
def _low() -> Floats:
    celsius, x = _scale_and_nodes(LOWEST_EVAPORATING_C, HIGHEST_EVAPORATING_C)
    sat = refrigerant.saturated_vapour(celsius)
    hot = refrigerant.vapour(celsius[:, None] + _SUPERHEAT_K, np.asarray(sat.pressure_kPa)[:, None])
    squares = np.stack([_SUPERHEAT_K, _SUPERHEAT_K**2], axis=1)
    thinner = _fit(squares, (np.log(hot.density_kg_per_m3) - np.log(sat.density_kg_per_m3)[:, None]).T)
    hotter = _fit(squares, (hot.enthalpy_J_per_kg - sat.enthalpy_J_per_kg[:, None]).T)
    columns = [
        np.log(sat.pressure_kPa),
        np.log(sat.density_kg_per_m3),
        *thinner,
        sat.enthalpy_J_per_kg,
        *hotter,
    ]
    fitted = _fit(np.vander(x, LOW_TERMS, increasing=True), np.stack(columns, axis=1)).T
    pressure, density, thin, thin_2, vapour, hot_1, hot_2 = fitted
    return np.stack(
        [
            pressure,
            _slope(pressure),
            density,
            _slope(density),
            thin,
            thin_2,
            vapour,
            _slope(vapour),
            hot_1,
            hot_2,
        ]
    )


@cache
def _high() -> Floats:
    celsius, x = _scale_and_nodes(LOWEST_CONDENSING_C, HIGHEST_CONDENSING_C)
    liquid, sat = refrigerant.saturated_liquid(celsius), refrigerant.saturated_vapour(celsius)
    hot = refrigerant.vapour(celsius[:, None] + _DISCHARGE_SUPERHEAT_K, np.asarray(sat.pressure_kPa)[:, None])
    rise = hot.enthalpy_J_per_kg - sat.enthalpy_J_per_kg[:, None]
    hotter = np.array(
        [_fit(np.stack([row, row**2, row**3], axis=1), _DISCHARGE_SUPERHEAT_K) for row in rise]
    ).T
    columns = [np.log(liquid.pressure_kPa), liquid.enthalpy_J_per_kg, sat.enthalpy_J_per_kg, *hotter]
    fitted = _fit(np.vander(x, HIGH_TERMS, increasing=True), np.stack(columns, axis=1)).T
    pressure, enthalpy, *rest = fitted
    slope = _slope(enthalpy)
    return np.stack([pressure, _slope(pressure), enthalpy, slope, 0.5 * _slope(slope), *rest])


@cache
def _work() -> tuple[float, ...]:
    low, _ = _scale_and_nodes(LOWEST_EVAPORATING_C, HIGHEST_EVAPORATING_C)
    high, _ = _scale_and_nodes(LOWEST_CONDENSING_C, HIGHEST_CONDENSING_C)
    e, c, s = (grid.ravel() for grid in np.meshgrid(low[::2], high[::2], _SUPERHEAT_K, indexing="ij"))
    apart = c > e + 5.0
    e, c, s = e[apart], c[apart], s[apart]
    made = refrigerant.cycle(e, c, s, 0.0, 1.0)
    ratio = np.log(made.pressure_ratio)
    x, s = (e - 20.0) / 60.0, s / 50.0
    one = np.ones_like(x)
    terms = [one, x, x * x, x**3, s, s * s, s * x, ratio, ratio * x, ratio * x * x, ratio * s, ratio * s * x]
    terms += [ratio**2, ratio**2 * x, ratio**3, s * x * x]
    target = made.isentropic_work_J_per_kg / ratio
    return tuple(float(k) for k in _fit((np.stack(terms) / target).T, one))
