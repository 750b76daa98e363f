"""A 12 V lead-acid battery as a voltage behind a resistance, and how both move with use and time.

The network solve sees a Thevenin source: ``emf_V`` behind ``ohmic_ohm``. ``advance`` integrates what a
current does: charge, two relaxation branches, the surface charge, and the mean draw by which the rate
limits the capacity. All works elementwise on floats or arrays of one broadcastable shape, (B,) or
(batteries, B).

Laws: at rest, six cells at the electrode potentials of their acid's molality, the acid falling in proportion to the
charge drawn; drop I·R, two branches V' = (I·R − V)/τ, a surface capacitor that leaks by the logarithm of time; usable
capacity (I20/I)^(k − 1) times a cold table; current taken in charging proportional to overvoltage and missing charge,
with a gassing part that grows exponentially.
Sources: H. Bode, Lead-Acid Batteries (1977), potentials; Peukert 1897, rate; IEEE 485 factors and an AGM maker's table,
cold; recovery and ohmic part scaled from a published porous-electrode model; the rest is common practice and marked so
at its constant (physics/scalar/battery.py).
Limits: 12 V units of six cells, −40 to 60 °C, charge 0 to 1, rates from the 20-hour current to some 3C, charging up to
about 15 V. Below 10.5 V under load the curve only stands for 'empty'. No self-discharge, stratification, freezing,
reversed cells or heating by its own current; ageing is two factors that do not move while a job lasts.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics.each import each
from parked_hvac.physics.scalar import battery as law
from parked_hvac.physics.scalar.battery import CELLS, REFERENCE_C

__all__ = ["CELLS", "REFERENCE_C"]

Floats = float | NDArray[np.float64]
Array = NDArray[np.float64]
Chemistry = Literal["agm", "flooded"]

# Acid of a discharged and of a charged battery, as a fraction of 5650 mol/m³. Set so that the voltage of
# the acid meets the published open-circuit voltages of each kind
# (tests/reference/authorities/bat_ocv.json).
_ACID_FRACTION = {"agm": (0.17, 0.93), "flooded": (0.078, 0.834)}


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


_OHMIC_OHM_AH, _FAST_OHM_AH, _SLOW_OHM_AH = 0.5, 0.03, 0.06
_FLOODED_PEUKERT_EXPONENT, _FLOODED_ACCEPTANCE_PER_H = 1.2, 0.35


def typical(chemistry: Chemistry, capacity_Ah: Floats) -> BatteryParameters:
    """A sound new battery of a 20-hour capacity in Ah: 0.5 Ω·Ah ohmic, a fifth of that in the branches.

    Scaled from the recovery of PyBaMM's Sulzer2019 cell (5.35 mΩ at once for 17 Ah, 86 % of all).
    """
    capacity, agm = np.asarray(capacity_Ah, dtype=np.float64), chemistry == "agm"
    return BatteryParameters(
        chemistry=chemistry,
        capacity_Ah=capacity,
        resistance_ohm=_OHMIC_OHM_AH / capacity,
        fast_resistance_ohm=_FAST_OHM_AH / capacity,
        slow_resistance_ohm=_SLOW_OHM_AH / capacity,
        peukert_exponent=BatteryParameters.peukert_exponent if agm else _FLOODED_PEUKERT_EXPONENT,
        acceptance_per_h=BatteryParameters.acceptance_per_h if agm else _FLOODED_ACCEPTANCE_PER_H,
    )


def cell_open_circuit_voltage_V(acid_fraction: Floats) -> Array:
    """Voltage in V of one cell at rest by its acid as a fraction of 5650 mol/m³.

    Sum of both electrodes' open-circuit potentials by molality, H. Bode, Lead-Acid Batteries (1977).
    """
    return np.asarray(each(law.cell_open_circuit_voltage_V, acid_fraction))


def open_circuit_voltage_V(
    state_of_charge: Floats,
    temperature_C: Floats = REFERENCE_C,
    chemistry: Chemistry | tuple[Chemistry, ...] = "agm",
) -> Array:
    """Voltage in V of one sound 12 V battery, rested for a day, by state of charge (0 to 1) and °C.

    The acid falls in proportion to the charge drawn. A tuple names the chemistry of each row of (batteries,
    B). Raises ValueError for an unknown chemistry.
    """
    return np.asarray(
        each(law.open_circuit_voltage_V, state_of_charge, temperature_C, *acid_range(chemistry))
    )


def peukert_exponent(time_1_h: Floats, current_1_A: Floats, time_2_h: Floats, current_2_A: Floats) -> Array:
    """Peukert's exponent from two discharges: ln(T2/T1)/ln(I1/I2) (Peukert 1897)."""
    times = np.log(np.asarray(time_2_h, dtype=np.float64) / time_1_h)
    return np.asarray(times / np.log(np.asarray(current_1_A, dtype=np.float64) / current_2_A))


def usable_fraction(current_A: Floats, p: BatteryParameters, temperature_C: Floats = REFERENCE_C) -> Array:
    """Share of the 20-hour capacity at 25 °C that can be drawn at a steady current in A, at a °C.

    Peukert above the 20-hour current, (I20/I)^(k − 1); the cold table at any rate.
    """
    return np.asarray(each(law.usable_fraction, current_A, _figures(p), temperature_C))


def voltage_at_rest_V(state: BatteryState, p: BatteryParameters) -> Array:
    """Open-circuit voltage in V once everything has settled; a shorted cell gives nothing."""
    return np.asarray(each(law.voltage_at_rest_V, vars(state), _figures(p)))


def emf_V(state: BatteryState, p: BatteryParameters) -> Array:
    """Voltage in V behind the ohmic resistance at this moment: what the terminals show with no current."""
    return np.asarray(each(law.emf_V, vars(state), _figures(p)))


def ohmic_ohm(state: BatteryState, p: BatteryParameters) -> Array:
    """Resistance in Ω at this moment: the parameter when new, full, 25 °C; more aged, empty or cold."""
    return np.asarray(each(law.ohmic_ohm, vars(state), _figures(p)))


def conductance_S(state: BatteryState, p: BatteryParameters) -> Array:
    """Conductance in S that a tester sees with its small alternating current: that of the ohmic part."""
    return np.asarray(1.0 / ohmic_ohm(state, p))


def accepted_current_A(overvoltage_V: Floats, state: BatteryState, p: BatteryParameters) -> Array:
    """Charging current in A that flows steadily at an overvoltage in V above the voltage at rest."""
    return np.asarray(each(law.accepted_current_A, overvoltage_V, vars(state), _figures(p)))


def gassing_current_A(state: BatteryState, p: BatteryParameters) -> Array:
    """Current in A that makes gas, heat and smell instead of charge, at the present surface charge."""
    return np.asarray(each(law.gassing_current_A, vars(state), _figures(p)))


def advance(state: BatteryState, p: BatteryParameters, current_A: Floats, seconds: Floats) -> BatteryState:
    """State after some seconds of a steady current in A, positive when discharging; temperature unchanged.

    The branches, the bleeding and the charge drawn are exact for any step, and so is a surface charge that a steady
    current builds up below gassing; above it errors fall with the square of the step (exponential midpoint rule:
    M. Hochbruck, A. Ostermann, Acta Numerica 19, 2010; from memory). A current that a circuit lets flow at a held
    voltage is not steady: over more than a few seconds it is to be found together with what it does, see `swing_ohm`.
    """
    moved = law.Moved(*each(law.advance, vars(state), _figures(p), current_A, seconds))
    return BatteryState(
        moved.state_of_charge,
        state.temperature_C,
        moved.fast_V,
        moved.slow_V,
        moved.surface_V,
        moved.draw_A,
    )


def swing_ohm(state: BatteryState, p: BatteryParameters, current_A: Floats, seconds: Floats) -> Array:
    """By how much in V one ampere more at the end of a step lowers the source voltage there; the beginning's is held.

    ``current_A``: about what will flow, positive when discharging. A circuit that adds this to the resistance finds a mean
    current with which batteries neither swing nor run past each other, however long the step.
    """
    figures = _figures(p)
    moved = law.Moved(*each(law.advance, vars(state), figures, current_A, seconds))
    return np.asarray(moved.swing_ohm * each(law.end_share, figures, seconds))


@cache
def acid_range(chemistry: Chemistry | tuple[Chemistry, ...]) -> tuple[Floats, Floats]:
    """Acid fraction of the empty battery and its rise to the full one; columns (batteries, 1) for a tuple.

    Raises ValueError for an unknown chemistry.
    """
    names: tuple[Chemistry, ...] = (chemistry,) if isinstance(chemistry, str) else chemistry
    unknown = [name for name in names if name not in _ACID_FRACTION]
    if unknown:
        raise ValueError(f"No battery of chemistry '{unknown[0]}' is known: write 'agm' or 'flooded'.")
    empty, full = np.array([_ACID_FRACTION[name] for name in names]).T[:, :, None]
    if isinstance(chemistry, str):
        return float(empty[0, 0]), float(full[0, 0] - empty[0, 0])
    return empty, full - empty


def _figures(p: BatteryParameters) -> dict[str, Floats]:
    figures = {name: value for name, value in vars(p).items() if name != "chemistry"}
    figures["acid_empty"], figures["acid_span"] = acid_range(p.chemistry)
    return figures
