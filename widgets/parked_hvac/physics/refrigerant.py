"""Properties of refrigerant R-134a and the vapour-compression cycle made of them.

Vapour and liquid come from one function, the Helmholtz energy of R. Tillner-Roth and H. D. Baehr,
"An International Standard Formulation for the Thermodynamic Properties of 1,1,1,2-Tetrafluoroethane",
J. Phys. Chem. Ref. Data 23 (1994) 657-729 (the formulation that ISO 17584 adopts); so enthalpy,
entropy, specific heat and density are consistent with one another by construction. The coefficients were
copied from the fluid file of CoolProp 8.0.0, not from the paper. The saturation line is a Wagner-type
equation whose coefficients were fitted to CoolProp 8.0.0 between -60 and +95 degrees Celsius (worst error
0.01 %), and the start value of the liquid density likewise. CoolProp is therefore no independent check of
this file; the handbook table, the textbook cycles and the Clausius-Clapeyron equation in the tests are.

Good from -60 to +95 degrees Celsius of saturation and vapour up to 180 degrees. Every function takes numbers
or arrays (B,) and returns float64 arrays of the broadcast shape (numpy scalars for numbers). Enthalpy is
200 kJ/kg for saturated liquid at 0 degrees Celsius (International Institute of Refrigeration).

Laws: Helmholtz energy and its derivatives; cycle of isentropic work over an efficiency, isobaric heat, throttling.
Sources: those above.
Limits: those above; pure R-134a, no oil and no air in it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parked_hvac.physics.each import each
from parked_hvac.physics.scalar.refrigerant import (
    CRITICAL_PRESSURE_KPA,
    CRITICAL_TEMPERATURE_K,
    KELVIN_AT_0_C,
    saturation_line_kPa,
)

Floats = NDArray[np.float64]

MOLAR_MASS_KG_PER_MOL = 0.102032
GAS_CONSTANT_J_PER_KG_K = 8.314471 / MOLAR_MASS_KG_PER_MOL
CRITICAL_TEMPERATURE_C = CRITICAL_TEMPERATURE_K - KELVIN_AT_0_C
LOWEST_SATURATION_C = -60.0
HIGHEST_SATURATION_C = 95.0
_LOWEST_SATURATION_KPA = 15.9  # just below the pressure of -60 degrees

_REDUCING_TEMPERATURE_K = 374.18
_REDUCING_DENSITY_KG_PER_M3 = 4978.830171 * MOLAR_MASS_KG_PER_MOL

# Residual Helmholtz energy: sum of n * delta**d * tau**t * exp(-delta**l), without exp where l = 0.
_RESIDUAL = np.array(
    [
        # n, d, t, l
        (0.05586817, 2, -0.5, 0),
        (0.498223, 1, 0, 0),
        (0.02458698, 3, 0, 0),
        (0.0008570145, 6, 0, 0),
        (0.0004788584, 6, 1.5, 0),
        (-1.800808, 1, 1.5, 0),
        (0.2671641, 1, 2, 0),
        (-0.04781652, 2, 2, 0),
        (0.01423987, 5, 1, 1),
        (0.3324062, 2, 3, 1),
        (-0.007485907, 2, 5, 1),
        (0.0001017263, 4, 1, 2),
        (-0.5184567, 1, 5, 2),
        (-0.08692288, 4, 5, 2),
        (0.2057144, 1, 6, 2),
        (-0.005000457, 2, 10, 2),
        (0.0004603262, 4, 10, 2),
        (-0.003497836, 1, 10, 3),
        (0.006995038, 5, 18, 3),
        (-0.01452184, 3, 22, 3),
        (-0.0001285458, 10, 50, 4),
    ]
)
_N, _D, _T, _L = _RESIDUAL.T
_DAMPED = (_L > 0).astype(float)
# Ideal-gas part: lead constants, logarithm of tau, and two powers of tau.
_LEAD_1, _LEAD_2, _LOG_TAU = -1.019535, 9.047135, -1.629789
_IDEAL_N = np.array([-9.723916, -3.92717])
_IDEAL_T = np.array([-0.5, -0.75])

# Fitted to CoolProp 8.0.0, see above; exponents chosen from a grid.
_LIQUID_N = np.array([1.70144591, 0.84285943, 0.17000965, 0.26824306])
_LIQUID_E = np.array([0.33, 0.6, 1.2, 3.0])


def _kelvin(temperature_C: ArrayLike) -> Floats:
    return np.asarray(temperature_C, dtype=np.float64) + KELVIN_AT_0_C


def _refuse(wrong: NDArray[np.bool_], name: str, value: Floats, remedy: str) -> None:
    if np.any(wrong):
        first = float(np.ravel(value)[np.argmax(np.ravel(wrong))])
        raise ValueError(f"{name} {first:g} has no answer for R-134a here: {remedy}.")


def _refuse_beyond(name: str, value: Floats, lowest: float, highest: float, unit: str) -> None:
    remedy = f"give one from {lowest:g} to {highest:g}{unit}"
    _refuse((value < lowest) | (value > highest), name, value, remedy)


def _wagner_kPa(kelvin: Floats) -> Floats:
    return np.asarray(each(saturation_line_kPa, kelvin - KELVIN_AT_0_C))


def saturation_pressure_kPa(temperature_C: ArrayLike) -> Floats:
    """Absolute saturation pressure in kPa at a temperature in degrees Celsius, shape kept.

    Wagner-type equation fitted to CoolProp 8.0.0 from -60 to +95 degrees. ValueError below -60 degrees and
    above the critical temperature, where nothing boils.
    """
    celsius = np.asarray(temperature_C, dtype=np.float64)
    _refuse_beyond("Temperature", celsius, LOWEST_SATURATION_C, CRITICAL_TEMPERATURE_C, " °C")
    return np.asarray(_wagner_kPa(_kelvin(celsius)))[()]


def saturation_temperature_C(pressure_kPa: ArrayLike) -> Floats:
    """Saturation temperature in degrees Celsius at an absolute pressure in kPa, shape kept.

    Newton steps in ln p over 1/T, nearly a straight line; six give the last digit. ValueError below the
    pressure of -60 degrees and above the critical pressure.
    """
    pressure = np.asarray(pressure_kPa, dtype=np.float64)
    _refuse_beyond("Pressure", pressure, _LOWEST_SATURATION_KPA, CRITICAL_PRESSURE_KPA, " kPa")
    logarithm = np.log(pressure)
    inverse = 1.0 / CRITICAL_TEMPERATURE_K + (np.log(CRITICAL_PRESSURE_KPA) - logarithm) / 2700.0
    step = 1e-7
    for _ in range(6):
        here = np.log(_wagner_kPa(1.0 / inverse))
        there = np.log(_wagner_kPa(1.0 / (inverse + step)))
        slope = np.minimum((there - here) / step, -1000.0)
        inverse = np.maximum(inverse - (here - logarithm) / slope, 1.0 / CRITICAL_TEMPERATURE_K)
    return np.asarray(1.0 / inverse - KELVIN_AT_0_C)[()]


@dataclass(frozen=True)
class Fluid:
    """State of single-phase R-134a; every field has the shape of the arguments that made it."""

    temperature_C: Floats
    pressure_kPa: Floats
    density_kg_per_m3: Floats
    enthalpy_J_per_kg: Floats
    entropy_J_per_kg_K: Floats
    specific_heat_J_per_kg_K: Floats  # at constant pressure


def _residual(delta: Floats, tau: Floats, derivatives: bool) -> tuple[Floats, ...]:
    """Residual Helmholtz energy: d a, d2 a over delta; with ``derivatives`` also a and those over tau.

    Each is multiplied by the powers of delta and tau that make it free of dimension.
    """
    damping = delta[..., None] ** _L
    term = _N * np.exp(_D * np.log(delta)[..., None] + _T * np.log(tau)[..., None] - _DAMPED * damping)
    slope = _D - _L * _DAMPED * damping
    first = (term * slope).sum(axis=-1)
    second = (term * (slope * (slope - 1.0) - _L**2 * _DAMPED * damping)).sum(axis=-1)
    if not derivatives:
        return first, second
    value = term.sum(axis=-1)
    by_tau = (term * _T).sum(axis=-1)
    by_tau_tau = (term * _T * (_T - 1.0)).sum(axis=-1)
    mixed = (term * slope * _T).sum(axis=-1)
    return first, second, value, by_tau, by_tau_tau, mixed


def _density_kg_per_m3(kelvin: Floats, pressure_Pa: Floats, start: Floats, steps: int) -> Floats:
    """Density by Newton steps from ``start``; the pressure is concave over density on the vapour side."""
    tau = _REDUCING_TEMPERATURE_K / kelvin
    density = start
    for _ in range(steps):
        first, second = _residual(density / _REDUCING_DENSITY_KG_PER_M3, tau, False)
        gas = GAS_CONSTANT_J_PER_KG_K * kelvin
        error = density * gas * (1.0 + first) - pressure_Pa
        slope = np.maximum(gas * (1.0 + 2.0 * first + second), 0.02 * gas)
        density = np.clip(density - error / slope, 0.3 * density, 3.0 * density)
    return density


def _fluid(kelvin: Floats, pressure_kPa: Floats, density: Floats) -> Fluid:
    tau = _REDUCING_TEMPERATURE_K / kelvin
    delta = density / _REDUCING_DENSITY_KG_PER_M3
    first, second, value, by_tau, by_tau_tau, mixed = _residual(delta, tau, True)
    powers = _IDEAL_N * tau[..., None] ** _IDEAL_T
    ideal = np.log(delta) + _LEAD_1 + _LEAD_2 * tau + _LOG_TAU * np.log(tau) + powers.sum(axis=-1)
    ideal_by_tau = _LEAD_2 * tau + _LOG_TAU + (powers * _IDEAL_T).sum(axis=-1)
    ideal_by_tau_tau = -_LOG_TAU + (powers * _IDEAL_T * (_IDEAL_T - 1.0)).sum(axis=-1)
    gas = GAS_CONSTANT_J_PER_KG_K
    isochoric = -(ideal_by_tau_tau + by_tau_tau)
    isobaric = isochoric + (1.0 + first - mixed) ** 2 / np.maximum(1.0 + 2.0 * first + second, 0.02)
    return Fluid(
        temperature_C=np.asarray(kelvin - KELVIN_AT_0_C)[()],
        pressure_kPa=np.asarray(pressure_kPa)[()],
        density_kg_per_m3=np.asarray(density)[()],
        enthalpy_J_per_kg=np.asarray(gas * kelvin * (1.0 + ideal_by_tau + by_tau + first))[()],
        entropy_J_per_kg_K=np.asarray(gas * (ideal_by_tau + by_tau - ideal - value))[()],
        specific_heat_J_per_kg_K=np.asarray(gas * isobaric)[()],
    )


def vapour(temperature_C: ArrayLike, pressure_kPa: ArrayLike) -> Fluid:
    """Superheated or saturated vapour at a temperature and absolute pressure (broadcast against each other).

    Below the saturation temperature the answer is that of undercooled vapour. Tillner-Roth and Baehr 1994.
    """
    kelvin, pressure = np.broadcast_arrays(_kelvin(temperature_C), np.asarray(pressure_kPa, dtype=np.float64))
    start = pressure * 1000.0 / (GAS_CONSTANT_J_PER_KG_K * kelvin)
    return _fluid(kelvin, pressure, _density_kg_per_m3(kelvin, pressure * 1000.0, start, steps=10))


def saturated_vapour(temperature_C: ArrayLike) -> Fluid:
    """Saturated vapour at a temperature in degrees Celsius, shape kept; ValueError outside -60 to 95."""
    celsius = np.asarray(temperature_C, dtype=np.float64)
    _refuse_beyond("Temperature", celsius, LOWEST_SATURATION_C, HIGHEST_SATURATION_C, " °C")
    return vapour(temperature_C, saturation_pressure_kPa(temperature_C))


def saturated_liquid(temperature_C: ArrayLike) -> Fluid:
    """Saturated liquid at a temperature in degrees Celsius, shape kept.

    ValueError outside -60 to 95 degrees. Stands for subcooled liquid of the same temperature too: pressure
    moves its enthalpy by less than 0.3 kJ/kg here.
    """
    celsius = np.asarray(temperature_C, dtype=np.float64)
    _refuse_beyond("Temperature", celsius, LOWEST_SATURATION_C, HIGHEST_SATURATION_C, " °C")
    kelvin = _kelvin(celsius)
    pressure = np.asarray(saturation_pressure_kPa(temperature_C))
    gap = 1.0 - kelvin / CRITICAL_TEMPERATURE_K
    start = 511.9 * (1.0 + (gap[..., None] ** _LIQUID_E) @ _LIQUID_N)
    return _fluid(kelvin, pressure, _density_kg_per_m3(kelvin, pressure * 1000.0, start, steps=4))


def heat_of_vaporisation_J_per_kg(temperature_C: ArrayLike) -> Floats:
    """Enthalpy of saturated vapour less that of saturated liquid, J/kg, shape kept."""
    return (
        saturated_vapour(temperature_C).enthalpy_J_per_kg - saturated_liquid(temperature_C).enthalpy_J_per_kg
    )


def isentropic_end(entropy_J_per_kg_K: ArrayLike, pressure_kPa: ArrayLike, guess_C: ArrayLike) -> Fluid:
    """Vapour of the given entropy at the given pressure; Newton steps over temperature from a guess in °C."""
    target, pressure, guess = np.broadcast_arrays(
        np.asarray(entropy_J_per_kg_K, dtype=np.float64),
        np.asarray(pressure_kPa, dtype=np.float64),
        _kelvin(guess_C),
    )
    kelvin = guess.copy()
    floor = _kelvin(saturation_temperature_C(pressure)) - 15.0
    for _ in range(8):
        state = vapour(kelvin - KELVIN_AT_0_C, pressure)
        step = (state.entropy_J_per_kg_K - target) * kelvin / state.specific_heat_J_per_kg_K
        kelvin = np.maximum(kelvin - step, floor)
    return vapour(kelvin - KELVIN_AT_0_C, pressure)


def temperature_at_enthalpy_C(
    enthalpy_J_per_kg: ArrayLike, pressure_kPa: ArrayLike, guess_C: ArrayLike
) -> Floats:
    """Vapour temperature in degrees Celsius at an enthalpy and absolute pressure; Newton from a guess."""
    target, pressure, guess = np.broadcast_arrays(
        np.asarray(enthalpy_J_per_kg, dtype=np.float64),
        np.asarray(pressure_kPa, dtype=np.float64),
        np.asarray(guess_C, dtype=np.float64),
    )
    celsius = guess.copy()
    for _ in range(6):
        state = vapour(celsius, pressure)
        celsius = celsius - (state.enthalpy_J_per_kg - target) / state.specific_heat_J_per_kg_K
    return np.asarray(celsius)[()]


@dataclass(frozen=True)
class Cycle:
    """One kilogram of refrigerant round the cycle; every field has the broadcast shape of the arguments."""

    evaporating_kPa: Floats
    condensing_kPa: Floats
    pressure_ratio: Floats
    suction_C: Floats
    suction_density_kg_per_m3: Floats
    discharge_C: Floats
    cooling_J_per_kg: Floats
    work_J_per_kg: Floats
    heat_rejected_J_per_kg: Floats
    isentropic_work_J_per_kg: Floats
    vapour_after_valve: Floats  # mass fraction of vapour behind the expansion valve
    cop: Floats


def cycle(
    evaporating_C: ArrayLike,
    condensing_C: ArrayLike,
    superheat_K: ArrayLike,
    subcooling_K: ArrayLike,
    isentropic_efficiency: ArrayLike,
) -> Cycle:
    """Single-stage cycle without pressure losses, per kilogram; arguments are numbers or arrays (B,).

    Evaporating and condensing temperature in degrees Celsius, superheat at the suction and subcooling of
    the liquid in kelvin, isentropic efficiency 0..1. Textbook cycle (Cengel and Boles, Thermodynamics,
    chapter 11).
    """
    evaporating, condensing, superheat, subcooling, efficiency = np.broadcast_arrays(
        *(
            np.asarray(value, dtype=np.float64)
            for value in (evaporating_C, condensing_C, superheat_K, subcooling_K, isentropic_efficiency)
        )
    )
    _refuse_beyond("Isentropic efficiency", efficiency, 0.01, 1.0, "")
    _refuse_beyond("Condensing temperature", condensing, LOWEST_SATURATION_C, HIGHEST_SATURATION_C, " °C")
    remedy = "give a condensing temperature above the evaporating one"
    _refuse(condensing <= evaporating, "Condensing temperature", condensing, remedy)
    low_kPa = np.asarray(saturation_pressure_kPa(evaporating))
    high_kPa = np.asarray(saturation_pressure_kPa(condensing))
    suction = vapour(evaporating + superheat, low_kPa)
    ideal = isentropic_end(suction.entropy_J_per_kg_K, high_kPa, condensing + 10.0)
    isentropic_work = ideal.enthalpy_J_per_kg - suction.enthalpy_J_per_kg
    work = isentropic_work / efficiency
    guess = ideal.temperature_C + (work - isentropic_work) / ideal.specific_heat_J_per_kg_K
    discharge_C = temperature_at_enthalpy_C(suction.enthalpy_J_per_kg + work, high_kPa, guess)
    liquid = saturated_liquid(condensing - subcooling)
    boiling = saturated_liquid(evaporating)
    cooling = suction.enthalpy_J_per_kg - liquid.enthalpy_J_per_kg
    return Cycle(
        evaporating_kPa=low_kPa[()],
        condensing_kPa=high_kPa[()],
        pressure_ratio=(high_kPa / low_kPa)[()],
        suction_C=suction.temperature_C,
        suction_density_kg_per_m3=suction.density_kg_per_m3,
        discharge_C=discharge_C,
        cooling_J_per_kg=cooling,
        work_J_per_kg=work,
        heat_rejected_J_per_kg=cooling + work,
        isentropic_work_J_per_kg=isentropic_work,
        vapour_after_valve=(liquid.enthalpy_J_per_kg - boiling.enthalpy_J_per_kg)
        / (saturated_vapour(evaporating).enthalpy_J_per_kg - boiling.enthalpy_J_per_kg),
        cop=cooling / work,
    )
