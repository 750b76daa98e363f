"""R-134a as polynomials, evaluated for one draw; ``refrigerant_tables`` fits and lays out the coefficients."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

LOWEST_EVAPORATING_C = -50.0
HIGHEST_EVAPORATING_C = 35.0
LOWEST_CONDENSING_C = -10.0
HIGHEST_CONDENSING_C = 93.0
LOW_TERMS, HIGH_TERMS, WORK_TERMS = 6, 7, 16
LOW_ROWS, HIGH_ROWS = 10, 9
HIGH_BEGIN = LOW_ROWS * LOW_TERMS
WORK_BEGIN = HIGH_BEGIN + HIGH_ROWS * HIGH_TERMS
"""The coefficients stand in one row: suction side, discharge side, work; lowest power first."""

KELVIN_AT_0_C = 273.15
CRITICAL_TEMPERATURE_K = 101.06 + KELVIN_AT_0_C  # Tillner-Roth and Baehr 1994, through CoolProp 8.0.0
CRITICAL_PRESSURE_KPA = 4059.28
_WAGNER = (-7.743234, 2.666782, -2.619605, -4.079807)  # of the powers 1, 1.5, 2, 4.5; see `refrigerant`


class Low(NamedTuple):
    """Suction side along the evaporating temperature; superheat enters as a polynomial of second degree."""

    ln_kPa: Any
    ln_kPa_per_K: Any
    ln_density: Any
    ln_density_per_K: Any
    thinner_per_K: Any  # change of ln density with superheat
    thinner_per_K2: Any
    vapour_J_per_kg: Any
    vapour_J_per_kg_K: Any  # along the saturation line
    hotter_J_per_kg_K: Any  # with superheat
    hotter_J_per_kg_K2: Any


class High(NamedTuple):
    """Discharge side along the condensing temperature; subcooling and discharge superheat enter as series."""

    ln_kPa: Any
    ln_kPa_per_K: Any
    liquid_J_per_kg: Any
    liquid_J_per_kg_K: Any
    liquid_J_per_kg_K2: Any  # half the second derivative
    vapour_J_per_kg: Any
    hotter_K_per_J_per_kg: Any  # superheat of the discharge: this * J/kg above saturation
    hotter_K_per_J_per_kg_2: Any  # + this * square
    hotter_K_per_J_per_kg_3: Any  # + this * cube


def low_side(k: Any, evaporating_C: Any) -> Low:
    """Suction side at an evaporating temperature between -50 and 35 °C; ``k``: all coefficients."""
    x = (evaporating_C - 20.0) / 60.0
    return Low(
        _low(k, 0, x),
        _low(k, 1, x),
        _low(k, 2, x),
        _low(k, 3, x),
        _low(k, 4, x),
        _low(k, 5, x),
        _low(k, 6, x),
        _low(k, 7, x),
        _low(k, 8, x),
        _low(k, 9, x),
    )


def high_side(k: Any, condensing_C: Any) -> High:
    """Discharge side at a condensing temperature between -10 and 93 °C."""
    x = (condensing_C - 20.0) / 60.0
    return High(
        _high(k, 0, x),
        _high(k, 1, x),
        _high(k, 2, x),
        _high(k, 3, x),
        _high(k, 4, x),
        _high(k, 5, x),
        _high(k, 6, x),
        _high(k, 7, x),
        _high(k, 8, x),
    )


def work_per_ln_ratio_J_per_kg(k: Any, evaporating_C: Any, ln_ratio: Any, superheat_K: Any) -> Any:
    """Work of a loss-free compression in J/kg, divided by the logarithm of the pressure ratio."""
    x, s = (evaporating_C - 20.0) / 60.0, superheat_K / 50.0
    n = WORK_BEGIN
    steady = k[n] + x * (k[n + 1] + x * (k[n + 2] + x * k[n + 3]))
    steady = steady + s * (k[n + 4] + s * k[n + 5] + x * (k[n + 6] + x * k[n + 15]))
    rising = k[n + 7] + x * (k[n + 8] + x * k[n + 9]) + s * (k[n + 10] + x * k[n + 11])
    return steady + ln_ratio * (rising + ln_ratio * (k[n + 12] + x * k[n + 13] + ln_ratio * k[n + 14]))


def saturation_line_kPa(temperature_C: float) -> float:
    """Absolute saturation pressure in kPa at a temperature in °C known to lie between -60 and +101 °C."""
    kelvin = temperature_C + KELVIN_AT_0_C
    gap = 1.0 - kelvin / CRITICAL_TEMPERATURE_K
    root = math.sqrt(gap)
    square = gap * gap
    series = gap * (_WAGNER[0] + _WAGNER[2] * gap) + _WAGNER[1] * gap * root
    series = series + _WAGNER[3] * square * square * root
    return CRITICAL_PRESSURE_KPA * math.exp(series * CRITICAL_TEMPERATURE_K / kelvin)


def _low(k: Any, row: int, x: Any) -> Any:
    n = row * LOW_TERMS
    return k[n] + x * (k[n + 1] + x * (k[n + 2] + x * (k[n + 3] + x * (k[n + 4] + x * k[n + 5]))))


def _high(k: Any, row: int, x: Any) -> Any:
    n = HIGH_BEGIN + row * HIGH_TERMS
    upper = k[n + 3] + x * (k[n + 4] + x * (k[n + 5] + x * k[n + 6]))
    return k[n] + x * (k[n + 1] + x * (k[n + 2] + x * upper))
