"""Moist air: constants and the one relation that the other laws share. See ``air`` for the sources."""

from __future__ import annotations

from typing import Any

STANDARD_PRESSURE_KPA = 101.325
DRY_AIR_J_PER_KG_K = 1006.0  # ASHRAE Fundamentals 2017, chapter 1, equation 30
VAPOUR_J_PER_KG_K = 1860.0  # same equation
VAPORISATION_AT_0_C_J_PER_KG = 2.501e6  # same equation
LIQUID_WATER_J_PER_KG_K = 4186.0  # ASHRAE Fundamentals 2017, chapter 1, equation 33
MOLAR_RATIO = 0.621945  # water over dry air, same chapter, equation 20
DRY_AIR_GAS_CONSTANT_J_PER_KG_K = 287.042  # same chapter, equation 1


def volume_m3_per_kg(temperature_C: Any, humidity_ratio: Any, pressure_kPa: Any) -> Any:
    """Cubic metres of moist air that hold one kilogram of dry air; arithmetic only, so arrays pass too."""
    moist = (temperature_C + 273.15) * (1.0 + humidity_ratio / MOLAR_RATIO)
    return DRY_AIR_GAS_CONSTANT_J_PER_KG_K / (1000.0 * pressure_kPa) * moist
