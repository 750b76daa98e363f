"""Clear-sky sunshine on a level roof and on upright walls.

Laws: declination and equation of time as Fourier series of the day; beam through Linke's turbidity and the air mass,
diffuse as a polynomial in the sine of the elevation; isotropic sky and ground on a wall.
Sources: sun position after J. W. Spencer, Search 2 (1971) 172 (declination and equation of time); clear sky after C.
Rigollier, O. Bauer and L. Wald, "On the clear sky model of the ESRA", Solar Energy 68 (2000) 33-48. The
coefficients are written down from memory; the figures in tests/reference/authorities/cab_solar.json check
what comes out.

Limits: no clouds, no shade by trees or buildings, horizon free; elevations above 0; level ground within 10 % of another
clear-sky model, diffuse light alone less well (tests/reference/test_cabin.py).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

SOLAR_CONSTANT_W_PER_M2 = 1367.0  # as in Rigollier et al. 2000


@dataclass(frozen=True)
class Sunshine:
    """Where the sun stands and what it sends; every field has the shape of the hour."""

    elevation_deg: Floats
    azimuth_deg: Floats  # from north, clockwise
    beam_W_per_m2: Floats  # on a surface facing the sun
    diffuse_W_per_m2: Floats  # from the sky on level ground
    level_W_per_m2: Floats  # both, on level ground


def clear_sky(
    hour: ArrayLike,
    day_of_year: ArrayLike = 172,
    latitude_deg: ArrayLike = 35.0,
    longitude_deg: ArrayLike = -100.0,
    utc_offset_h: ArrayLike = -6.0,
    altitude_m: ArrayLike = 500.0,
    turbidity: ArrayLike = 3.0,
) -> Sunshine:
    """Sunshine under a cloudless sky at a clock hour (0..24, time of ``utc_offset_h``); W/m² and degrees.

    Longitude is positive to the east, ``turbidity`` is Linke's for air mass 2. ESRA clear-sky model.
    """
    clock = np.asarray(hour, dtype=np.float64)
    angle = 2.0 * np.pi * (np.asarray(day_of_year, dtype=np.float64) - 1.0) / 365.0
    declination = (
        0.006918
        - 0.399912 * np.cos(angle)
        + 0.070257 * np.sin(angle)
        - 0.006758 * np.cos(2 * angle)
        + 0.000907 * np.sin(2 * angle)
        - 0.002697 * np.cos(3 * angle)
        + 0.00148 * np.sin(3 * angle)
    )
    equation_h = (
        229.18
        / 60.0
        * (
            0.000075
            + 0.001868 * np.cos(angle)
            - 0.032077 * np.sin(angle)
            - 0.014615 * np.cos(2 * angle)
            - 0.04089 * np.sin(2 * angle)
        )
    )
    solar_hour = (
        clock - np.asarray(utc_offset_h) + np.asarray(longitude_deg, dtype=np.float64) / 15.0 + equation_h
    )
    hour_angle = np.pi / 12.0 * (solar_hour - 12.0)
    latitude = np.radians(np.asarray(latitude_deg, dtype=np.float64))
    up = np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(declination) * np.cos(hour_angle)
    east = -np.cos(declination) * np.sin(hour_angle)
    north = np.cos(latitude) * np.sin(declination) - np.sin(latitude) * np.cos(declination) * np.cos(
        hour_angle
    )
    height = np.maximum(up, 0.0)
    elevation_deg = np.degrees(np.arcsin(np.clip(up, -1.0, 1.0)))
    beyond = SOLAR_CONSTANT_W_PER_M2 * (
        1.0 + 0.03344 * np.cos(2.0 * np.pi * np.asarray(day_of_year) / 365.25 - 0.048869)
    )
    linke = np.asarray(turbidity, dtype=np.float64)

    above_deg = np.maximum(elevation_deg, 0.0)
    sea_level = np.exp(-np.asarray(altitude_m, dtype=np.float64) / 8434.5)
    mass = sea_level / (height + 0.50572 * (above_deg + 6.07995) ** -1.6364)  # Kasten and Young 1989
    thick = 1.0 / (6.6296 + mass * (1.7513 + mass * (-0.1202 + mass * (0.0065 - 0.00013 * mass))))
    thin = 1.0 / (10.4 + 0.718 * mass)
    rayleigh = np.where(mass <= 20.0, thick, thin)  # Kasten 1996
    beam = np.where(up > 0.0, beyond * np.exp(-0.8662 * linke * mass * rayleigh), 0.0)

    transmitted = -1.5843e-2 + linke * (3.0543e-2 + 3.797e-4 * linke)
    a0 = 2.6463e-1 + linke * (-6.1581e-2 + 3.1408e-3 * linke)
    a0 = np.maximum(a0, 2.0e-3 / transmitted)
    a1 = 2.0402 + linke * (1.8945e-2 - 1.1161e-2 * linke)
    a2 = -1.3025 + linke * (3.9231e-2 + 8.5079e-3 * linke)
    diffuse = np.where(up > 0.0, beyond * transmitted * (a0 + height * (a1 + a2 * height)), 0.0)
    return Sunshine(
        elevation_deg=np.asarray(elevation_deg)[()],
        azimuth_deg=np.asarray(np.degrees(np.arctan2(east, north)) % 360.0)[()],
        beam_W_per_m2=np.asarray(beam)[()],
        diffuse_W_per_m2=np.asarray(diffuse)[()],
        level_W_per_m2=np.asarray(beam * height + diffuse)[()],
    )


def on_wall_W_per_m2(
    sunshine: Sunshine, facing_deg: ArrayLike, ground_reflectance: ArrayLike = 0.2
) -> Floats:
    """Sunshine on an upright wall in W/m²: beam, half the sky, and what the ground throws back.

    ``facing_deg`` from north, clockwise (180 is a south wall). Isotropic sky (Liu and Jordan).
    """
    elevation = np.radians(sunshine.elevation_deg)
    turned = np.radians(sunshine.azimuth_deg - np.asarray(facing_deg, dtype=np.float64))
    incidence = np.maximum(np.cos(elevation) * np.cos(turned), 0.0)
    ground = 0.5 * np.asarray(ground_reflectance, dtype=np.float64) * sunshine.level_W_per_m2
    return np.asarray(sunshine.beam_W_per_m2 * incidence + 0.5 * sunshine.diffuse_W_per_m2 + ground)[()]


def sol_air_C(
    outside_C: ArrayLike,
    irradiance_W_per_m2: ArrayLike,
    absorbed_over_film_m2_K_per_W: ArrayLike = 0.026,
    sky_loss_K: ArrayLike = 0.0,
) -> Floats:
    """Outside temperature in °C that would heat a wall as air and sun do together.

    Absorptance over film coefficient: 0.026 light, 0.052 dark; sky loss 4 K on a roof, 0 on a wall. ASHRAE
    Fundamentals, sol-air temperature.
    """
    gain = np.asarray(absorbed_over_film_m2_K_per_W, dtype=np.float64) * np.asarray(
        irradiance_W_per_m2, dtype=np.float64
    )
    return np.asarray(
        np.asarray(outside_C, dtype=np.float64) + gain - np.asarray(sky_loss_K, dtype=np.float64)
    )[()]
