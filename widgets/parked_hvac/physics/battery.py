"""A 12 V lead-acid battery as a voltage behind a resistance, and how both move with use and time.

The network solve sees a Thevenin source: ``emf_V`` behind ``ohmic_ohm``. ``advance`` integrates what a
current does: charge, two relaxation branches, the surface charge, and the mean draw by which the rate
limits the capacity. All works elementwise on floats or arrays of one broadcastable shape, (B,) or
(batteries, B).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = float | NDArray[np.float64]
Array = NDArray[np.float64]
Chemistry = Literal["agm", "flooded"]

CELLS = 6
REFERENCE_C = 25.0

# Acid of a discharged and of a charged battery, as a fraction of 5650 mol/m³. Set so that the voltage of
# the acid meets the published open-circuit voltages of each kind
# (tests/reference/authorities/bat_ocv.json).
_ACID_FRACTION = {"agm": (0.17, 0.93), "flooded": (0.078, 0.834)}
_FULL_ACID_MOL_M3 = 5650.0  # Sulzer et al. 2019
_WATER_MOLAR_VOLUME_M3 = 1.75e-5
_ACID_MOLAR_VOLUME_M3 = 4.5e-5
_WATER_MOLAR_MASS_KG = 0.01801
_CELL_SLOPE_V_PER_K = 0.0002  # of a charged cell at rest; from memory (Bode 1977 gives about this)

# How cold takes capacity, as a share of that at 25 °C: between the IEEE 485 factors and an AGM maker's table
# (tests/reference/authorities/bat_cold.json).
_CAPACITY_C = np.array([-40.0, -30.0, -18.0, -10.0, 0.0, 10.0, 25.0, 40.0, 60.0])
_CAPACITY_SHARE = np.array([0.22, 0.36, 0.53, 0.65, 0.79, 0.88, 1.00, 1.06, 1.08])

_RESISTANCE_PER_K = 0.0155  # half again at 0 °C, twice at −20 °C; common practice, no source
_DRAW_TIME_S = 900.0  # over which the acid in the plates follows the current; PyBaMM recovers within the hour
_KNEE_V = 1.8  # lost when the last usable charge is drawn at a high rate; ends a discharge near 10.5 V
_KNEE_SHARE = 0.03  # of the capacity: how suddenly the voltage breaks down; common practice, no source
_GASSING_V = 0.35  # of a 12 V unit: gassing grows e-fold; 14.4 V then takes ten times the float current
_COLD_ACCEPTANCE_PER_K = 0.035  # half the charge acceptance at 5 °C; common practice, no source


@dataclass(frozen=True)
class BatteryParameters:
    """One 12 V battery; floats or arrays of one broadcastable shape.

    ``resistance_ohm`` is the ohmic part, new, full, at 25 °C. ``capacity_factor`` and ``resistance_factor``
    age it. Charging: ``acceptance_per_h`` is the current taken, in capacities per hour, for each volt of
    overvoltage and for the whole capacity missing; ``gassing_per_h`` scales what a full battery takes.
    ``surface_build_s`` is how fast a current builds or takes off surface charge, ``surface_bleed_s`` and
    ``surface_decade_V`` how it bleeds off by itself: so many volts per decade of time at first, gone after
    several ``surface_bleed_s``.
    """

    chemistry: Chemistry | tuple[Chemistry, ...]
    capacity_Ah: Floats
    resistance_ohm: Floats
    fast_resistance_ohm: Floats
    slow_resistance_ohm: Floats
    fast_time_s: Floats = 30.0
    slow_time_s: Floats = 600.0
    surface_build_s: Floats = 8.0
    surface_bleed_s: Floats = 14400.0
    surface_decade_V: Floats = 0.45
    acceptance_per_h: Floats = 0.6
    gassing_per_h: Floats = 6e-5
    capacity_factor: Floats = 1.0
    resistance_factor: Floats = 1.0
    shorted_cells: Floats = 0.0
    peukert_exponent: Floats = 1.1


@dataclass(frozen=True)
class BatteryState:
    """Where one battery stands; floats or arrays of one broadcastable shape.

    ``state_of_charge`` is the charge left over the 20-hour capacity of the battery as aged. ``fast_V`` and
    ``slow_V`` are the voltages of the relaxation branches, positive after a discharge; ``surface_V`` what the
    surface charge adds; ``draw_A`` the mean discharge current of the last quarter of an hour.
    """

    state_of_charge: Floats
    temperature_C: Floats = REFERENCE_C
    fast_V: Floats = 0.0
    slow_V: Floats = 0.0
    surface_V: Floats = 0.0
    draw_A: Floats = 0.0


def typical(chemistry: Chemistry, capacity_Ah: Floats) -> BatteryParameters:
    """A sound new battery of a 20-hour capacity in Ah: 0.5 Ω·Ah ohmic, a fifth of that in the branches.

    Scaled from the recovery of PyBaMM's Sulzer2019 cell (5.35 mΩ at once for 17 Ah, 86 % of all).
    """
    capacity = np.asarray(capacity_Ah, dtype=np.float64)
    return BatteryParameters(
        chemistry=chemistry,
        capacity_Ah=capacity,
        resistance_ohm=0.5 / capacity,
        fast_resistance_ohm=0.03 / capacity,
        slow_resistance_ohm=0.06 / capacity,
        peukert_exponent=1.1 if chemistry == "agm" else 1.2,
        acceptance_per_h=0.6 if chemistry == "agm" else 0.35,
    )


def cell_open_circuit_voltage_V(acid_fraction: Floats) -> Array:
    """Voltage in V of one cell at rest by its acid as a fraction of 5650 mol/m³.

    Sum of both electrodes' open-circuit potentials by molality, H. Bode, Lead-Acid Batteries (1977).
    """
    concentration = np.asarray(acid_fraction, dtype=np.float64) * _FULL_ACID_MOL_M3
    water = (1.0 - concentration * _ACID_MOLAR_VOLUME_M3) * _WATER_MOLAR_MASS_KG
    x = np.log10(concentration * _WATER_MOLAR_VOLUME_M3 / water)
    return np.asarray(1.922 + x * (0.148 + x * (0.063 + x * (0.074 + x * 0.034))))


def open_circuit_voltage_V(
    state_of_charge: Floats,
    temperature_C: Floats = REFERENCE_C,
    chemistry: Chemistry | tuple[Chemistry, ...] = "agm",
) -> Array:
    """Voltage in V of one sound 12 V battery, rested for a day, by state of charge (0 to 1) and °C.

    The acid falls in proportion to the charge drawn. A tuple names the chemistry of each row of (batteries,
    B). Raises ValueError for an unknown chemistry.
    """
    empty, span = _acid_range(chemistry)
    acid = np.maximum(empty + span * np.asarray(state_of_charge, dtype=np.float64), 0.01)
    warmer_K = np.asarray(temperature_C, dtype=np.float64) - REFERENCE_C
    return np.asarray(CELLS * (cell_open_circuit_voltage_V(acid) + _CELL_SLOPE_V_PER_K * warmer_K))


def peukert_exponent(time_1_h: Floats, current_1_A: Floats, time_2_h: Floats, current_2_A: Floats) -> Array:
    """Peukert's exponent from two discharges: ln(T2/T1)/ln(I1/I2) (Peukert 1897)."""
    times = np.log(np.asarray(time_2_h, dtype=np.float64) / time_1_h)
    return np.asarray(times / np.log(np.asarray(current_1_A, dtype=np.float64) / current_2_A))


def usable_fraction(current_A: Floats, p: BatteryParameters, temperature_C: Floats = REFERENCE_C) -> Array:
    """Share of the 20-hour capacity at 25 °C that can be drawn at a steady current in A, at a °C.

    Peukert above the 20-hour current, (I20/I)^(k − 1); the cold table at any rate.
    """
    ratio = np.maximum(20.0 * np.asarray(current_A, dtype=np.float64) / _capacity_Ah(p), 1.0)
    cold = np.interp(temperature_C, _CAPACITY_C, _CAPACITY_SHARE)
    return np.asarray(ratio ** (1.0 - np.asarray(p.peukert_exponent)) * cold)


def usable_capacity_Ah(current_A: Floats, p: BatteryParameters, temperature_C: Floats = REFERENCE_C) -> Array:
    """Charge in Ah that a full battery gives at a steady current in A and a temperature in °C."""
    return np.asarray(_capacity_Ah(p) * usable_fraction(current_A, p, temperature_C))


def voltage_at_rest_V(state: BatteryState, p: BatteryParameters) -> Array:
    """Open-circuit voltage in V once everything has settled; a shorted cell gives nothing."""
    sound = open_circuit_voltage_V(state.state_of_charge, state.temperature_C, p.chemistry)
    return np.asarray(sound * (1.0 - np.asarray(p.shorted_cells) / CELLS))


def emf_V(state: BatteryState, p: BatteryParameters) -> Array:
    """Voltage in V behind the ohmic resistance at this moment: what the terminals show with no current."""
    polarised = state.surface_V - np.asarray(state.fast_V) - state.slow_V
    return np.asarray(np.maximum(voltage_at_rest_V(state, p) + polarised - _knee_V(state, p), 0.0))


def ohmic_ohm(state: BatteryState, p: BatteryParameters) -> Array:
    """Resistance in Ω at this moment: the parameter when new, full, 25 °C; more aged, empty or cold."""
    missing = _missing(state)
    emptier = 1.0 + missing * (0.2 + 0.6 * missing**3)
    return np.asarray(p.resistance_ohm * np.asarray(p.resistance_factor) * emptier * _colder(state))


def conductance_S(state: BatteryState, p: BatteryParameters) -> Array:
    """Conductance in S that a tester sees with its small alternating current: that of the ohmic part."""
    return np.asarray(1.0 / ohmic_ohm(state, p))


def accepted_current_A(overvoltage_V: Floats, state: BatteryState, p: BatteryParameters) -> Array:
    """Charging current in A that flows steadily at an overvoltage in V above the voltage at rest."""
    over = np.maximum(np.asarray(overvoltage_V, dtype=np.float64), 0.0)
    per_V, gas_A = _acceptance(state, p)
    return np.asarray(per_V * over + gas_A * np.expm1(over / _GASSING_V))


def gassing_current_A(state: BatteryState, p: BatteryParameters) -> Array:
    """Current in A that makes gas, heat and smell instead of charge, at the present surface charge."""
    return np.asarray(_acceptance(state, p)[1] * np.expm1(np.asarray(state.surface_V) / _GASSING_V))


def advance(state: BatteryState, p: BatteryParameters, current_A: Floats, seconds: Floats) -> BatteryState:
    """State after some seconds of a steady current in A, positive when discharging; temperature unchanged.

    The branches, the bleeding and the charge drawn are exact for any step. While charging, the surface charge
    moves towards the level at which the terminal voltage of this moment would hold it, so that it never
    swings, however long the step; steps of ten seconds keep the charge within half a percent.
    """
    current = np.asarray(current_A, dtype=np.float64)
    drawn = np.maximum(current, 0.0)
    aged = p.resistance_factor * _colder(state)
    charge = np.asarray(state.state_of_charge - drawn * (seconds / 3600.0) / _capacity_Ah(p))
    resistance = ohmic_ohm(state, p)
    # The surface is a capacitor of surface_build_s / resistance; a longer step takes off no more than twice
    # the drop, or a battery held at a voltage by its neighbours would swing below it.
    taken_off = drawn * resistance * np.minimum(seconds / np.asarray(p.surface_build_s), 2.0)
    surface = _bled_V(np.maximum(state.surface_V - taken_off, 0.0), p, seconds)
    if (current < 0).any():  # only spares a parked night half the work: the rest of the batch stays as it is
        charge, surface = _charged(state, p, current, seconds, resistance, charge, surface)
    return BatteryState(
        state_of_charge=charge,
        temperature_C=state.temperature_C,
        fast_V=_relax(state.fast_V, current * p.fast_resistance_ohm * aged, seconds, p.fast_time_s),
        slow_V=_relax(state.slow_V, current * p.slow_resistance_ohm * aged, seconds, p.slow_time_s),
        surface_V=surface,
        draw_A=_relax(state.draw_A, drawn, seconds, _DRAW_TIME_S),
    )


@cache
def _acid_range(chemistry: Chemistry | tuple[Chemistry, ...]) -> tuple[Floats, Floats]:
    """Acid fraction of the empty battery and its rise to the full one; columns (batteries, 1) for a tuple."""
    names: tuple[Chemistry, ...] = (chemistry,) if isinstance(chemistry, str) else chemistry
    unknown = [name for name in names if name not in _ACID_FRACTION]
    if unknown:
        raise ValueError(f"No battery of chemistry '{unknown[0]}' is known: write 'agm' or 'flooded'.")
    empty, full = np.array([_ACID_FRACTION[name] for name in names]).T[:, :, None]
    if isinstance(chemistry, str):
        return float(empty[0, 0]), float(full[0, 0] - empty[0, 0])
    return empty, full - empty


def _capacity_Ah(p: BatteryParameters) -> Array:
    return np.asarray(p.capacity_Ah * np.asarray(p.capacity_factor))


def _colder(state: BatteryState) -> Array:
    return np.asarray(np.exp(_RESISTANCE_PER_K * (REFERENCE_C - np.asarray(state.temperature_C))))


def _missing(state: BatteryState) -> Array:
    return np.asarray(np.minimum(np.maximum(1.0 - np.asarray(state.state_of_charge), 0.0), 1.0))


def _relax(start: Floats, target: Floats, seconds: Floats, time_s: Floats) -> Array:
    return np.asarray(target + (start - np.asarray(target)) * np.exp(-seconds / np.asarray(time_s)))


def _knee_V(state: BatteryState, p: BatteryParameters) -> Array:
    """Voltage lost because the acid in the plates runs out at the mean draw; none once the battery rests."""
    usable = usable_fraction(state.draw_A, p, state.temperature_C)
    left = (usable - 1.0 + state.state_of_charge) / _KNEE_SHARE
    above = np.maximum(left, 0.0)
    breakdown = np.exp(-above) + (above - left)  # exponential, and on along its tangent once nothing is left
    return np.asarray(_KNEE_V * breakdown * (state.draw_A / (state.draw_A + _capacity_Ah(p) / 20.0)))


def _acceptance(state: BatteryState, p: BatteryParameters) -> tuple[Array, Array]:
    """Bulk acceptance in A per volt and the scale in A of the gassing current."""
    warmer_K = np.asarray(state.temperature_C) - REFERENCE_C
    at = _capacity_Ah(p) * np.exp(_COLD_ACCEPTANCE_PER_K * warmer_K)
    return np.asarray(p.acceptance_per_h * at * _missing(state)), np.asarray(p.gassing_per_h * at)


def _bled_V(surface_V: Floats, p: BatteryParameters, seconds: Floats) -> Array:
    """Surface charge left after resting: exact for dV/dt = −(s/τ)·(exp(V/s) − 1), Tafel's law.

    It falls by s·ln 10 per decade of time at first and exponentially at last.
    """
    scale = p.surface_decade_V / np.log(10.0)
    left = np.expm1(-np.asarray(surface_V) / scale) * np.exp(-seconds / np.asarray(p.surface_bleed_s))
    return np.asarray(-scale * np.log1p(left))


def _charged(
    state: BatteryState,
    p: BatteryParameters,
    current: Array,
    seconds: Floats,
    resistance: Array,
    charge: Array,
    bled: Array,
) -> tuple[Array, Array]:
    """State of charge and surface charge after a step, replaced where the current charges.

    The part that gasses is not stored. What is stored shrinks as the battery fills, so a long step closes on
    full without passing it. The surface charge builds towards its level, or bleeds down to it.
    """
    charging = current < 0
    per_V, gas_A = _acceptance(state, p)
    before = np.asarray(state.surface_V)
    over = np.maximum(before, 1e-6)
    bulk_A = per_V * over
    stored = bulk_A / (bulk_A + gas_A * np.expm1(over / _GASSING_V))
    missing = np.maximum(_missing(state), 1e-12)
    moved = np.minimum(current, 0.0) * (seconds / 3600.0) / _capacity_Ah(p)
    filled = state.state_of_charge - missing * np.expm1(moved * stored / missing)
    held = np.maximum(before - current * resistance, 0.0)
    level = _charging_level_V(held, resistance, per_V, gas_A)
    built = _relax(before, level, seconds, p.surface_build_s)
    surface = np.where(level > before, built, np.maximum(bled, level))
    return np.where(charging, filled, charge), np.where(charging, surface, bled)


def _charging_level_V(held: Array, resistance: Array, per_V: Array, gas_A: Array) -> Array:
    """Surface charge at which a held terminal overvoltage drives just the current that is accepted.

    Solves x + R·accepted(x) = held by Newton's method from above; the function is convex and rising, and the
    start is exact where either part of the acceptance prevails, so five steps settle it.
    """
    bulk = 1.0 + resistance * per_V
    gas = resistance * gas_A
    x = np.minimum(held / bulk, _GASSING_V * np.log1p(held / gas))
    for _ in range(5):
        grown = gas * np.exp(x / _GASSING_V)
        x = x - (bulk * x + grown - gas - held) / (bulk + grown / _GASSING_V)
    return np.asarray(np.maximum(x, 0.0))
