"""One 12 V lead-acid battery: its source voltage, its resistance, and what a current does to it.

``p`` is anything with the fields of ``battery.BatteryParameters``, the chemistry given as ``acid_empty`` and
``acid_span``; ``state`` anything with those of ``battery.BatteryState``.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

CELLS = 6
REFERENCE_C = 25.0

_FULL_ACID_MOL_M3 = 5650.0  # Sulzer et al. 2019
_WATER_MOLAR_VOLUME_M3 = 1.75e-5
_ACID_MOLAR_VOLUME_M3 = 4.5e-5
_WATER_MOLAR_MASS_KG = 0.01801
_CELL_SLOPE_V_PER_K = 0.0002  # of a charged cell at rest; from memory (Bode 1977 gives about this)

# How cold takes capacity, as a share of that at 25 °C: between the IEEE 485 factors and an AGM maker's table
# (tests/reference/authorities/bat_cold.json).
_CAPACITY_C = (-40.0, -30.0, -18.0, -10.0, 0.0, 10.0, 25.0, 40.0, 60.0)
_CAPACITY_SHARE = (0.22, 0.36, 0.53, 0.65, 0.79, 0.88, 1.00, 1.06, 1.08)

_RESISTANCE_PER_K = 0.0155  # half again at 0 °C, twice at −20 °C; common practice, no source
_DRAW_TIME_S = 900.0  # over which the acid in the plates follows the current; PyBaMM recovers within the hour
_KNEE_V = 1.8  # lost when the last usable charge is drawn at a high rate; ends a discharge near 10.5 V
_KNEE_SHARE = 0.03  # of the capacity: how suddenly the voltage breaks down; common practice, no source
_GASSING_V = 0.35  # of a 12 V unit: gassing grows e-fold; 14.4 V then takes ten times the float current
_COLD_ACCEPTANCE_PER_K = 0.035  # half the charge acceptance at 5 °C; common practice, no source
_SETTLED_V = 1e-7  # a last move of Newton's; what is still wrong then is of the order of its square
_SHORT_SPAN = 1e-3  # below it two large terms nearly cancel, and a series takes their place
_LN_10 = math.log(10.0)


class Moved(NamedTuple):
    """Where a battery stands after a step, the temperature apart, and how it answers to the current."""

    state_of_charge: float
    fast_V: float
    slow_V: float
    surface_V: float
    draw_A: float
    swing_ohm: float  # what one ampere more all through it takes off behind the ohmic resistance, V


def cell_open_circuit_voltage_V(acid_fraction: float) -> float:
    """Voltage in V of one cell at rest by its acid as a fraction of 5650 mol/m³; Bode 1977."""
    concentration = acid_fraction * _FULL_ACID_MOL_M3
    water = (1.0 - concentration * _ACID_MOLAR_VOLUME_M3) * _WATER_MOLAR_MASS_KG
    x = math.log10(concentration * _WATER_MOLAR_VOLUME_M3 / water)
    return 1.922 + x * (0.148 + x * (0.063 + x * (0.074 + x * 0.034)))


def open_circuit_voltage_V(
    state_of_charge: float, temperature_C: float, acid_empty: float, acid_span: float
) -> float:
    """Voltage in V of one sound battery rested for a day; the acid falls in proportion to the charge drawn."""
    acid = max(acid_empty + acid_span * state_of_charge, 0.01)
    warmer_K = temperature_C - REFERENCE_C
    return CELLS * (cell_open_circuit_voltage_V(acid) + _CELL_SLOPE_V_PER_K * warmer_K)


def usable_fraction(current_A: float, p: Any, temperature_C: float) -> float:
    """Share of the 20-hour capacity at 25 °C that can be drawn at a steady current in A, at a °C."""
    ratio = 20.0 * current_A / capacity_Ah(p)
    cold = _capacity_share(temperature_C)
    return cold if ratio <= 1.0 else float(ratio ** (1.0 - p.peukert_exponent) * cold)


def capacity_Ah(p: Any) -> float:
    """The 20-hour capacity in Ah of the battery as aged."""
    return float(p.capacity_Ah * p.capacity_factor)


def voltage_at_rest_V(state: Any, p: Any) -> float:
    """Open-circuit voltage in V once everything has settled; a shorted cell gives nothing."""
    sound = open_circuit_voltage_V(state.state_of_charge, state.temperature_C, p.acid_empty, p.acid_span)
    return float(sound * (1.0 - p.shorted_cells / CELLS))


def emf_V(state: Any, p: Any) -> float:
    """Voltage in V behind the ohmic resistance at this moment."""
    polarised = state.surface_V - state.fast_V - state.slow_V
    return float(max(voltage_at_rest_V(state, p) + polarised - _knee_V(state, p), 0.0))


def ohmic_ohm(state: Any, p: Any) -> float:
    """Resistance in Ω at this moment: the parameter when new, full, 25 °C; more aged, empty or cold."""
    missing = _missing(state)
    emptier = 1.0 + missing * (0.2 + 0.6 * missing * missing * missing)
    return float(p.resistance_ohm * p.resistance_factor * emptier * _colder(state))


def acceptance(state: Any, p: Any) -> tuple[float, float]:
    """Bulk acceptance in A per volt and the scale in A of the gassing current."""
    warmer_K = state.temperature_C - REFERENCE_C
    at = capacity_Ah(p) * math.exp(_COLD_ACCEPTANCE_PER_K * warmer_K)
    return p.acceptance_per_h * at * _missing(state), p.gassing_per_h * at


def accepted_current_A(overvoltage_V: float, state: Any, p: Any) -> float:
    """Charging current in A that flows steadily at an overvoltage in V above the voltage at rest."""
    over = max(overvoltage_V, 0.0)
    per_V, gas_A = acceptance(state, p)
    return per_V * over + gas_A * math.expm1(over / _GASSING_V)


def gassing_current_A(state: Any, p: Any) -> float:
    """Current in A that makes gas, heat and smell instead of charge, at the present surface charge."""
    _, gas_A = acceptance(state, p)
    return gas_A * math.expm1(state.surface_V / _GASSING_V)


def advance(state: Any, p: Any, current_A: float, seconds: float) -> Moved:
    """After some seconds of a steady current in A, positive when discharging; see ``battery.advance``."""
    drawn = max(current_A, 0.0)
    aged = p.resistance_factor * _colder(state)
    resistance = ohmic_ohm(state, p)
    before = state.surface_V
    charge = state.state_of_charge - drawn * (seconds / 3600.0) / capacity_Ah(p)
    # The surface is a capacitor of surface_build_s / resistance. Half of its bleeding counts before the current,
    # half after it, so that errors fall with the square of the step.
    built_ohm = resistance * (seconds / p.surface_build_s)
    surface = before
    if surface > 0.0 and current_A >= 0.0:
        surface = _bled_V(max(_bled_V(before, p, 0.5 * seconds) - drawn * built_ohm, 0.0), p, 0.5 * seconds)
    if current_A < 0.0:
        # The part that gasses is not stored. What is stored shrinks as the battery fills, so a long step
        # closes on full without passing it. The surface charge builds towards its level, or bleeds to it.
        per_V, gas_A = acceptance(state, p)
        pushed_V = -current_A * resistance
        middle = _charged_V(before, before, pushed_V, resistance, per_V, gas_A, p, 0.5 * seconds)
        over = max(middle, 1e-6)
        bulk_A = per_V * over
        stored = bulk_A / (bulk_A + gas_A * math.expm1(over / _GASSING_V))
        missing = max(_missing(state), 1e-12)
        moved = current_A * (seconds / 3600.0) / capacity_Ah(p)
        charge = state.state_of_charge - missing * math.expm1(moved * stored / missing)
        surface = _charged_V(before, middle, pushed_V, resistance, per_V, gas_A, p, seconds)
    # Told as if nothing were accepted or bled: too much damps, too little would let batteries swing.
    swing = built_ohm if current_A < 0.0 or surface > 0.0 else 0.0
    fast, slow = math.exp(-seconds / p.fast_time_s), math.exp(-seconds / p.slow_time_s)
    fast_ohm, slow_ohm = p.fast_resistance_ohm * aged, p.slow_resistance_ohm * aged
    return Moved(
        charge,
        current_A * fast_ohm + (state.fast_V - current_A * fast_ohm) * fast,
        current_A * slow_ohm + (state.slow_V - current_A * slow_ohm) * slow,
        surface,
        drawn + (state.draw_A - drawn) * math.exp(-seconds / _DRAW_TIME_S),
        swing + fast_ohm * (1.0 - fast) + slow_ohm * (1.0 - slow),
    )


def end_share(p: Any, seconds: float) -> float:
    """Share of the end in the mean over some seconds of a current that the surface charge bends; the beginning has the rest.

    A half for a short step; for a long one nearly all, so that what evens out within it does not swing. Exact for a
    current that closes on its end as the surface charge builds up (exponential fitting: W. Liniger, R. Willoughby,
    SIAM J. Numer. Anal. 7, 1970; from memory).
    """
    spans = seconds / p.surface_build_s
    if spans < _SHORT_SPAN:
        return float(0.5 + spans / 12.0)
    return float(-1.0 / math.expm1(-spans) - 1.0 / spans)


def _charged_V(
    start_V: float,
    at_V: float,
    pushed_V: float,
    resistance_ohm: float,
    per_V: float,
    gas_A: float,
    p: Any,
    seconds: float,
) -> float:
    """Surface charge that a steady current builds up from a start, its course made straight where it stands at ``at_V``."""
    level = charging_level_V(at_V + pushed_V, resistance_ohm, per_V, gas_A)
    if level <= at_V <= start_V:
        return max(_bled_V(start_V, p, seconds), level)
    # What of one volt more at the terminals the level does not follow is taken by what the battery accepts.
    accepted = resistance_ohm * (per_V + gas_A / _GASSING_V * math.exp(level / _GASSING_V))
    per_s = accepted / (1.0 + accepted) / p.surface_build_s
    moving_s = -math.expm1(-per_s * seconds) / per_s
    return float(start_V + moving_s * ((level - at_V) / p.surface_build_s + per_s * (at_V - start_V)))


def charging_level_V(held_V: float, resistance_ohm: float, per_V: float, gas_A: float) -> float:
    """Surface charge at which a held terminal overvoltage drives just the current that is accepted.

    Solves x + R·accepted(x) = held by Newton's method from above; the function is convex and rising, and the
    start is exact where either part of the acceptance prevails, so five steps settle it at most.
    """
    bulk = 1.0 + resistance_ohm * per_V
    gas = resistance_ohm * gas_A
    x = min(held_V / bulk, _GASSING_V * math.log1p(held_V / gas))
    for _ in range(5):
        grown = gas * math.exp(x / _GASSING_V)
        down_V = (bulk * x + grown - gas - held_V) / (bulk + grown / _GASSING_V)
        x = x - down_V
        if down_V < _SETTLED_V:
            break
    return max(x, 0.0)


def _capacity_share(temperature_C: float) -> float:
    if temperature_C <= _CAPACITY_C[0]:
        return _CAPACITY_SHARE[0]
    for i in range(1, len(_CAPACITY_C)):
        if temperature_C < _CAPACITY_C[i]:
            slope = (_CAPACITY_SHARE[i] - _CAPACITY_SHARE[i - 1]) / (_CAPACITY_C[i] - _CAPACITY_C[i - 1])
            return _CAPACITY_SHARE[i - 1] + slope * (temperature_C - _CAPACITY_C[i - 1])
    return _CAPACITY_SHARE[-1]


def _colder(state: Any) -> float:
    return math.exp(_RESISTANCE_PER_K * (REFERENCE_C - state.temperature_C))


def _missing(state: Any) -> float:
    return float(min(max(1.0 - state.state_of_charge, 0.0), 1.0))


def _knee_V(state: Any, p: Any) -> float:
    """Voltage lost because the acid in the plates runs out at the mean draw; none once the battery rests."""
    usable = usable_fraction(state.draw_A, p, state.temperature_C)
    left = (usable - 1.0 + state.state_of_charge) / _KNEE_SHARE
    above = max(left, 0.0)
    breakdown = math.exp(-above) + (
        above - left
    )  # exponential, and on along its tangent once nothing is left
    return float(_KNEE_V * breakdown * (state.draw_A / (state.draw_A + capacity_Ah(p) / 20.0)))


def _bled_V(surface_V: float, p: Any, seconds: float) -> float:
    """Surface charge left after resting: exact for dV/dt = −(s/τ)·(exp(V/s) − 1), Tafel's law.

    It falls by s·ln 10 per decade of time at first and exponentially at last.
    """
    scale = p.surface_decade_V / _LN_10
    left = math.expm1(-surface_V / scale) * math.exp(-seconds / p.surface_bleed_s)
    return float(-scale * math.log1p(left))
