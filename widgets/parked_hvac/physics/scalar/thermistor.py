"""A thermistor by its Steinhart-Hart curve, and a sensor that follows its surroundings."""

from __future__ import annotations

import math

KELVIN_AT_0C = 273.15
_HOTTEST_K = 1273.15  # what a short reads; far outside any sensor, so that plausibility limits catch it
_COLDEST_K = 1.0  # what an open circuit reads at the very least


def temperature_C(resistance_ohm: float, a: float, b: float, c: float) -> float:
    """Temperature in °C at a resistance in Ω; 0 Ω reads hottest, an open circuit coldest."""
    log = math.log(min(max(resistance_ohm, 1e-6), 1e12))
    inverse_K = a + log * (b + c * (log * log))
    return 1.0 / min(max(inverse_K, 1.0 / _HOTTEST_K), 1.0 / _COLDEST_K) - KELVIN_AT_0C


def resistance_ohm(temperature_C: float, a: float, b: float, c: float) -> float:
    """Resistance in Ω at a temperature in °C: the cubic in ln R solved by Cardano's form."""
    half = (a - 1.0 / (temperature_C + KELVIN_AT_0C)) / (2.0 * c)
    third = b / (3.0 * c)
    root = math.sqrt(third * third * third + half * half)
    # cbrt(root − half) − cbrt(root + half), without the cancellation: their product is `third`.
    larger = float((root + abs(half)) ** (1.0 / 3.0))
    log = larger - third / larger
    return math.exp(log if half < 0.0 else -log)


def follow(temperature_C: float, target_C: float, time_constant_s: float, seconds: float) -> float:
    """Temperature in °C of a sensor after some seconds beside a target: first order, exact for any step."""
    return target_C + (temperature_C - target_C) * math.exp(-seconds / time_constant_s)
