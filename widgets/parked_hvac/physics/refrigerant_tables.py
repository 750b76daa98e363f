"""R-134a tabulated as polynomials, for the circuit that is solved thousands of times.

Fitted once per process to `refrigerant` itself, so there is one truth; between -50 and +35 °C evaporating,
up to 93 °C condensing and 70 K of superheat they stay within 0.3 % of it in density, 0.7 % in work and 0.3
kJ/kg in enthalpy (tests/physics/test_refrigerant_tables.py). Floats and arrays (n,) give the same numbers;
a float takes a path of plain Python arithmetic, ten times faster than an array of one.
"""

from __future__ import annotations

from functools import cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics import refrigerant

Floats = NDArray[np.float64]
Value = Any  # a float or an array (n,): both go through the same arithmetic

LOWEST_EVAPORATING_C = -50.0
HIGHEST_EVAPORATING_C = 35.0
LOWEST_CONDENSING_C = -10.0
HIGHEST_CONDENSING_C = 93.0

_LOW_TERMS, _HIGH_TERMS = 6, 7


class _Polynomials(NamedTuple):
    """The same coefficients, one row per property and lowest power first, for arrays and for floats."""

    rows: Floats
    plain: tuple[tuple[float, ...], ...]

    def at(self, x: Value) -> Any:
        """Every property at ``x``: a list for a float, an array (properties, n) for an array."""
        if isinstance(x, float):
            values = []
            for row in self.plain:
                total = 0.0
                for coefficient in reversed(row):
                    total = total * x + coefficient
                values.append(total)
            return values
        powers = np.empty((self.rows.shape[1], x.size))
        powers[0] = 1.0
        for power in range(1, len(powers)):
            np.multiply(powers[power - 1], x, out=powers[power])
        return self.rows @ powers


class Low(NamedTuple):
    """Suction side along the evaporating temperature; superheat enters as a polynomial of second degree."""

    ln_kPa: Value
    ln_kPa_per_K: Value
    ln_density: Value
    ln_density_per_K: Value
    thinner_per_K: Value  # change of ln density with superheat
    thinner_per_K2: Value
    vapour_J_per_kg: Value
    vapour_J_per_kg_K: Value  # along the saturation line
    hotter_J_per_kg_K: Value  # with superheat
    hotter_J_per_kg_K2: Value


class High(NamedTuple):
    """Discharge side along the condensing temperature; subcooling and discharge superheat enter as series."""

    ln_kPa: Value
    ln_kPa_per_K: Value
    liquid_J_per_kg: Value
    liquid_J_per_kg_K: Value
    liquid_J_per_kg_K2: Value  # half the second derivative
    vapour_J_per_kg: Value
    hotter_K_per_J_per_kg: Value  # superheat of the discharge: this * J/kg above saturation
    hotter_K_per_J_per_kg_2: Value  # + this * square
    hotter_K_per_J_per_kg_3: Value  # + this * cube


def low_side(evaporating_C: Value) -> Low:
    """Suction side at evaporating temperatures between -50 and 35 °C."""
    return Low(*_low().at((evaporating_C - 20.0) / 60.0))


def high_side(condensing_C: Value) -> High:
    """Discharge side at condensing temperatures between -10 and 93 °C."""
    return High(*_high().at((condensing_C - 20.0) / 60.0))


def work_per_ln_ratio_J_per_kg(evaporating_C: Value, ln_ratio: Value, superheat_K: Value) -> Value:
    """Work of a loss-free compression in J/kg, divided by the logarithm of the pressure ratio."""
    x, s = (evaporating_C - 20.0) / 60.0, superheat_K / 50.0
    k = _work()
    steady = k[0] + x * (k[1] + x * (k[2] + x * k[3])) + s * (k[4] + s * k[5] + x * (k[6] + x * k[15]))
    rising = k[7] + x * (k[8] + x * k[9]) + s * (k[10] + x * k[11])
    return steady + ln_ratio * (rising + ln_ratio * (k[12] + x * k[13] + ln_ratio * k[14]))


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


def _polynomials(rows: list[Floats]) -> _Polynomials:
    return _Polynomials(
        np.stack(rows), tuple(tuple(float(c) for c in np.trim_zeros(row, "b")) for row in rows)
    )


@cache
def _low() -> _Polynomials:
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
    fitted = _fit(np.vander(x, _LOW_TERMS, increasing=True), np.stack(columns, axis=1)).T
    pressure, density, thin, thin_2, vapour, hot_1, hot_2 = fitted
    return _polynomials(
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
def _high() -> _Polynomials:
    celsius, x = _scale_and_nodes(LOWEST_CONDENSING_C, HIGHEST_CONDENSING_C)
    liquid, sat = refrigerant.saturated_liquid(celsius), refrigerant.saturated_vapour(celsius)
    hot = refrigerant.vapour(celsius[:, None] + _DISCHARGE_SUPERHEAT_K, np.asarray(sat.pressure_kPa)[:, None])
    rise = hot.enthalpy_J_per_kg - sat.enthalpy_J_per_kg[:, None]
    hotter = np.array(
        [_fit(np.stack([row, row**2, row**3], axis=1), _DISCHARGE_SUPERHEAT_K) for row in rise]
    ).T
    columns = [np.log(liquid.pressure_kPa), liquid.enthalpy_J_per_kg, sat.enthalpy_J_per_kg, *hotter]
    fitted = _fit(np.vander(x, _HIGH_TERMS, increasing=True), np.stack(columns, axis=1)).T
    pressure, enthalpy, *rest = fitted
    slope = _slope(enthalpy)
    return _polynomials([pressure, _slope(pressure), enthalpy, slope, 0.5 * _slope(slope), *rest])


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
