"""Moist air: how much water it carries, when it gives it up, and the heat in both.

Perfect-gas relations of ASHRAE Handbook Fundamentals (2017), chapter 1, with dry air and water vapour as
ideal gases: humidity ratios come out up to 0.5 % below ASHRAE's real-gas tables at 25 °C and 1 % at 50 °C.
Every function takes numbers or arrays (B,) and returns the broadcast shape.

Laws: W = 0.622·p/(P − p); h = 1.006·t + W·(2501 + 1.86·t) kJ/kg; saturation pressure by Hyland and Wexler.
Source: ASHRAE Fundamentals 2017, chapter 1 (Hyland and Wexler 1983 for saturation).
Limits: saturation −100 to 200 °C; the perfect-gas errors above; 101.325 kPa unless another pressure is given.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parked_hvac.physics.scalar.moist_air import (
    DRY_AIR_GAS_CONSTANT_J_PER_KG_K,
    DRY_AIR_J_PER_KG_K,
    LIQUID_WATER_J_PER_KG_K,
    MOLAR_RATIO,
    STANDARD_PRESSURE_KPA,
    VAPORISATION_AT_0_C_J_PER_KG,
    VAPOUR_J_PER_KG_K,
    volume_m3_per_kg,
)

__all__ = ["DRY_AIR_GAS_CONSTANT_J_PER_KG_K", "DRY_AIR_J_PER_KG_K", "VAPOUR_J_PER_KG_K"]

Floats = NDArray[np.float64]

# Hyland and Wexler 1983, as printed in ASHRAE Fundamentals 2017, chapter 1, equations 5 (ice) and 6 (water).
_ICE = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


def _floats(value: ArrayLike) -> Floats:
    return np.asarray(value, dtype=np.float64)


def _hyland_wexler_kPa(kelvin: Floats, coefficients: tuple[float, ...]) -> Floats:
    inverse, constant, first, second, third, fourth, logarithmic = coefficients
    polynomial = constant + kelvin * (first + kelvin * (second + kelvin * (third + kelvin * fourth)))
    result: Floats = np.exp(inverse / kelvin + polynomial + logarithmic * np.log(kelvin)) / 1000.0
    return result


def saturation_pressure_kPa(temperature_C: ArrayLike) -> Floats:
    """Pressure of water vapour above water, below 0.01 °C above ice, in kPa; argument in °C, shape kept.

    Hyland and Wexler 1983; ASHRAE Fundamentals 2017, chapter 1, equations 5 and 6 (-100 to +200 °C).
    """
    kelvin = _floats(temperature_C) + 273.15
    over_ice = _hyland_wexler_kPa(kelvin, _ICE)
    over_water = _hyland_wexler_kPa(kelvin, _WATER)
    return np.asarray(np.where(kelvin < 273.16, over_ice, over_water))[()]


def humidity_ratio(
    temperature_C: ArrayLike, relative_humidity: ArrayLike, pressure_kPa: ArrayLike = STANDARD_PRESSURE_KPA
) -> Floats:
    """Kilograms of water vapour per kilogram of dry air; °C, relative humidity 0..1, kPa absolute.

    ASHRAE Fundamentals 2017, chapter 1, equations 20 and 22.
    """
    vapour_kPa = _floats(relative_humidity) * saturation_pressure_kPa(temperature_C)
    return np.asarray(MOLAR_RATIO * vapour_kPa / (_floats(pressure_kPa) - vapour_kPa))[()]


def saturation_humidity_ratio(
    temperature_C: ArrayLike, pressure_kPa: ArrayLike = STANDARD_PRESSURE_KPA
) -> Floats:
    """Humidity ratio of saturated air, kg/kg; °C, kPa absolute."""
    return humidity_ratio(temperature_C, 1.0, pressure_kPa)


def vapour_pressure_kPa(
    humidity_ratio_kg_per_kg: ArrayLike, pressure_kPa: ArrayLike = STANDARD_PRESSURE_KPA
) -> Floats:
    """Partial pressure of the water vapour in kPa at a humidity ratio."""
    ratio = _floats(humidity_ratio_kg_per_kg)
    return np.asarray(_floats(pressure_kPa) * ratio / (MOLAR_RATIO + ratio))[()]


def relative_humidity(
    temperature_C: ArrayLike,
    humidity_ratio_kg_per_kg: ArrayLike,
    pressure_kPa: ArrayLike = STANDARD_PRESSURE_KPA,
) -> Floats:
    """Relative humidity 0..1 (above 1: fog) of air at a temperature in °C with a humidity ratio in kg/kg."""
    vapour_kPa = vapour_pressure_kPa(humidity_ratio_kg_per_kg, pressure_kPa)
    return np.asarray(vapour_kPa / saturation_pressure_kPa(temperature_C))[()]


def dew_point_C(
    humidity_ratio_kg_per_kg: ArrayLike, pressure_kPa: ArrayLike = STANDARD_PRESSURE_KPA
) -> Floats:
    """Temperature in °C at which air with this humidity ratio (kg/kg, above 0) begins to lose water.

    Inverts the saturation pressure by six Newton steps in ln p over 1/T (nearly a straight line), -60 to
    +90 °C.
    """
    target = np.log(np.maximum(vapour_pressure_kPa(humidity_ratio_kg_per_kg, pressure_kPa), 1e-6))
    inverse = 1.0 / 273.15 - (target - np.log(0.6112)) / 5400.0
    step = 1e-7
    for _ in range(6):
        here = np.log(saturation_pressure_kPa(1.0 / inverse - 273.15))
        there = np.log(saturation_pressure_kPa(1.0 / (inverse + step) - 273.15))
        inverse = inverse - (here - target) * step / (there - here)
    return np.asarray(1.0 / inverse - 273.15)[()]


def enthalpy_J_per_kg(temperature_C: ArrayLike, humidity_ratio_kg_per_kg: ArrayLike) -> Floats:
    """Enthalpy in J per kg of dry air, zero for dry air and liquid water at 0 °C.

    ASHRAE Fundamentals 2017, chapter 1, equation 30.
    """
    celsius = _floats(temperature_C)
    steam = VAPORISATION_AT_0_C_J_PER_KG + VAPOUR_J_PER_KG_K * celsius
    return np.asarray(DRY_AIR_J_PER_KG_K * celsius + _floats(humidity_ratio_kg_per_kg) * steam)[()]


def vaporisation_J_per_kg(temperature_C: ArrayLike) -> Floats:
    """Heat of vaporisation of water in J/kg at a temperature in °C; constants of `enthalpy_J_per_kg`."""
    return np.asarray(
        VAPORISATION_AT_0_C_J_PER_KG + (VAPOUR_J_PER_KG_K - LIQUID_WATER_J_PER_KG_K) * _floats(temperature_C)
    )[()]


def specific_volume_m3_per_kg(
    temperature_C: ArrayLike,
    humidity_ratio_kg_per_kg: ArrayLike,
    pressure_kPa: ArrayLike = STANDARD_PRESSURE_KPA,
) -> Floats:
    """Cubic metres of moist air that hold one kilogram of dry air. ASHRAE 2017, chapter 1, equation 26."""
    given = map(_floats, (temperature_C, humidity_ratio_kg_per_kg, pressure_kPa))
    return np.asarray(volume_m3_per_kg(*given))[()]


def wet_bulb_C(
    temperature_C: ArrayLike,
    humidity_ratio_kg_per_kg: ArrayLike,
    pressure_kPa: ArrayLike = STANDARD_PRESSURE_KPA,
) -> Floats:
    """Thermodynamic wet-bulb temperature in °C; 40 bisections between dew point and dry bulb.

    ASHRAE Fundamentals 2017, chapter 1, equation 33 (above freezing).
    """
    dry, ratio = np.broadcast_arrays(_floats(temperature_C), _floats(humidity_ratio_kg_per_kg))
    low = np.minimum(dew_point_C(ratio, pressure_kPa), dry)
    high = dry
    for _ in range(40):
        middle = 0.5 * (low + high)
        saturated = saturation_humidity_ratio(middle, pressure_kPa)
        evaporated = (
            (VAPORISATION_AT_0_C_J_PER_KG - (LIQUID_WATER_J_PER_KG_K - VAPOUR_J_PER_KG_K) * middle)
            * saturated
            - DRY_AIR_J_PER_KG_K * (dry - middle)
        ) / (VAPORISATION_AT_0_C_J_PER_KG + VAPOUR_J_PER_KG_K * dry - LIQUID_WATER_J_PER_KG_K * middle)
        too_wet = evaporated > ratio
        high = np.where(too_wet, middle, high)
        low = np.where(too_wet, low, middle)
    return np.asarray(0.5 * (low + high))[()]


@dataclass(frozen=True)
class Cooled:
    """What a cold surface does to an air stream, per kilogram of dry air; heats are taken from the air."""

    temperature_C: Floats
    humidity_ratio_kg_per_kg: Floats
    sensible_J_per_kg: Floats
    latent_J_per_kg: Floats
    condensate_kg_per_kg: Floats


def cooled_by_surface(
    temperature_C: ArrayLike,
    humidity_ratio_kg_per_kg: ArrayLike,
    surface_C: ArrayLike,
    contact: ArrayLike,
    pressure_kPa: ArrayLike = STANDARD_PRESSURE_KPA,
) -> Cooled:
    """Air of which a share ``contact`` (0..1) comes to balance with a cold surface; the rest passes by.

    Nothing condenses while the surface is above the dew point, and the surface gives off no water.
    Contact-factor (bypass) form of the cooling coil, ASHRAE Fundamentals 2017, chapter 1, section on
    typical processes.
    """
    dry, ratio, share = _floats(temperature_C), _floats(humidity_ratio_kg_per_kg), _floats(contact)
    surface = _floats(surface_C)
    condensed = share * np.maximum(ratio - saturation_humidity_ratio(surface, pressure_kPa), 0.0)
    off_C = dry + share * (surface - dry)
    sensible = (DRY_AIR_J_PER_KG_K + VAPOUR_J_PER_KG_K * ratio) * (dry - off_C)
    latent = condensed * (
        VAPORISATION_AT_0_C_J_PER_KG + VAPOUR_J_PER_KG_K * off_C - LIQUID_WATER_J_PER_KG_K * surface
    )
    return Cooled(
        temperature_C=np.asarray(off_C)[()],
        humidity_ratio_kg_per_kg=np.asarray(ratio - condensed)[()],
        sensible_J_per_kg=np.asarray(sensible)[()],
        latent_J_per_kg=np.asarray(latent)[()],
        condensate_kg_per_kg=np.asarray(condensed)[()],
    )
