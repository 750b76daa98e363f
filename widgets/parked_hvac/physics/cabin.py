"""The bunk: its air, the mass around it, and the water in its air.

Two nodes of heat (air with what follows it at once; walls, bedding and trim) and one of water. The heat
equations are linear over a step in which sun, outside air and cooling hold still, so the step is solved
exactly by the matrix exponential of the two-by-two system: no step is too long to be stable, and steps add
up. Every field is a number or an array (B,).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parked_hvac.physics import air

Floats = NDArray[np.float64]

_TRACE_W_PER_K = 1e-6  # always leads outside, so that there is a balance to tend to
_TRACE_PER_S = 1e-15


@dataclass(frozen=True)
class CabinState:
    """What the bunk remembers from one step to the next."""

    air_C: ArrayLike
    mass_C: ArrayLike
    humidity_ratio_kg_per_kg: ArrayLike


@dataclass(frozen=True)
class CabinParameters:
    """How the bunk is built; all invented for this course, of the size that sleeper-cab studies report."""

    air_capacity_J_per_K: ArrayLike  # air and the thin things that follow it within seconds
    mass_capacity_J_per_K: ArrayLike  # walls, mattress, trim
    air_to_mass_W_per_K: ArrayLike
    air_to_outside_W_per_K: ArrayLike  # windows and thin skin
    mass_to_outside_W_per_K: ArrayLike  # through the insulation
    leak_m3_per_s: ArrayLike  # outside air that comes in by itself
    curtain_open_m3_per_s: ArrayLike  # exchange with the cab in front when the curtain is open
    air_mass_kg: ArrayLike
    sun_on_air_share: ArrayLike = (
        0.2  # of the sunshine that comes in, the part that thin things pass to the air
    )


@dataclass(frozen=True)
class People:
    """Heat of the people in the bunk, W: sensible warms the air, latent goes into its water."""

    sensible_W: ArrayLike
    latent_W: ArrayLike


def people(
    count: ArrayLike, air_C: ArrayLike = 24.0, total_W: ArrayLike = 105.0, sensible_at_24_W: ArrayLike = 70.0
) -> People:
    """Heat of people at rest by bunk temperature: the total stays, the sensible part falls as the air warms.

    Seated at night 105 W, of that 70 W sensible at 24 °C; about 20 % less sensible at 27 °C (ASHRAE
    Fundamentals 2009, chapter 18, table 1 and its note), taken as a straight line held between nothing and
    the total.
    """
    number, total = np.asarray(count, dtype=np.float64), np.asarray(total_W, dtype=np.float64)
    falling = np.asarray(sensible_at_24_W) * (1.0 - 0.2 / 3.0 * (np.asarray(air_C, dtype=np.float64) - 24.0))
    sensible = np.clip(falling, 0.0, total)
    return People(
        sensible_W=np.asarray(number * sensible)[()], latent_W=np.asarray(number * (total - sensible))[()]
    )


def air_stream_W_per_K(
    flow_m3_per_s: ArrayLike, temperature_C: ArrayLike = 27.0, humidity_ratio_kg_per_kg: ArrayLike = 0.011
) -> Floats:
    """Heat capacity rate of an air stream in W/K: cubic metres per second at its temperature and humidity."""
    ratio = np.asarray(humidity_ratio_kg_per_kg, dtype=np.float64)
    dry = np.asarray(flow_m3_per_s, dtype=np.float64) / air.specific_volume_m3_per_kg(temperature_C, ratio)
    return np.asarray(dry * (air.DRY_AIR_J_PER_KG_K + ratio * air.VAPOUR_J_PER_KG_K))[()]


def advance(
    state: CabinState,
    parameters: CabinParameters,
    seconds: ArrayLike,
    outside_C: ArrayLike,
    outside_humidity_ratio_kg_per_kg: ArrayLike,
    sun_W: ArrayLike = 0.0,
    occupants: People | None = None,
    curtain_open: ArrayLike = 0.0,
    cab_C: ArrayLike | None = None,
    other_heat_W: ArrayLike = 0.0,
    supply_W_per_K: ArrayLike = 0.0,
    supply_C: ArrayLike = 20.0,
    condensate_kg_per_s: ArrayLike = 0.0,
) -> CabinState:
    """The bunk after ``seconds`` in which everything given holds still; exact for heat and for water.

    ``sun_W`` comes in by windows and skin. ``curtain_open`` 0..1 opens the exchange with the cab in front
    at ``cab_C`` (outside temperature when None). The unit draws in bunk air and blows it back at
    ``supply_C`` with the capacity rate ``supply_W_per_K`` (0: blower off); ``other_heat_W`` warms the air,
    negative cools. ``condensate_kg_per_s`` leaves by the drain; since a coil gives less the drier the air,
    steps of more than a minute or so should not hold it still.
    """
    inhabitants = occupants or People(0.0, 0.0)
    air_C, mass_C = np.asarray(state.air_C, dtype=np.float64), np.asarray(state.mass_C, dtype=np.float64)
    outside = np.asarray(outside_C, dtype=np.float64)
    outside_ratio = np.asarray(outside_humidity_ratio_kg_per_kg, dtype=np.float64)
    cab = outside if cab_C is None else np.asarray(cab_C, dtype=np.float64)
    duration = np.asarray(seconds, dtype=np.float64)
    sun = np.asarray(sun_W, dtype=np.float64)

    leak_kg_per_s = np.asarray(parameters.leak_m3_per_s) / air.specific_volume_m3_per_kg(
        outside, outside_ratio
    )
    curtain_kg_per_s = (
        np.asarray(parameters.curtain_open_m3_per_s)
        * np.asarray(curtain_open)
        / air.specific_volume_m3_per_kg(cab, outside_ratio)
    )
    moist = air.DRY_AIR_J_PER_KG_K + outside_ratio * air.VAPOUR_J_PER_KG_K
    leak, curtain = leak_kg_per_s * moist, curtain_kg_per_s * moist
    window = np.asarray(parameters.air_to_outside_W_per_K)
    supply = np.asarray(supply_W_per_K, dtype=np.float64)
    inner = np.asarray(parameters.air_to_mass_W_per_K)
    skin = np.maximum(parameters.mass_to_outside_W_per_K, _TRACE_W_PER_K)
    light = np.asarray(parameters.air_capacity_J_per_K, dtype=np.float64)
    heavy = np.asarray(parameters.mass_capacity_J_per_K, dtype=np.float64)
    share = np.asarray(parameters.sun_on_air_share)

    # d(air, mass)/dt = matrix @ (air, mass) + drive, one capacity per row
    away = window + leak + curtain + supply
    a = -(inner + away) / light
    b = inner / light
    c = inner / heavy
    d = -(inner + skin) / heavy
    into_air = (window + leak) * outside + curtain * cab + supply * np.asarray(supply_C) + share * sun
    drive_air = (into_air + np.asarray(inhabitants.sensible_W) + np.asarray(other_heat_W)) / light
    drive_mass = (skin * outside + (1.0 - share) * sun) / heavy

    # The balance it tends to, then the exponential of the rest; written so that nothing large cancels.
    determinant = (inner * skin + away * (inner + skin)) / (light * heavy)
    balance_air = (b * drive_mass - d * drive_air) / determinant
    balance_mass = (c * drive_air - a * drive_mass) / determinant
    middle = 0.5 * (a + d)
    spread = np.sqrt(0.25 * (a - d) ** 2 + b * c)  # real: both couplings are positive
    fast_rate = middle - spread
    slow, fast = np.exp(determinant / fast_rate * duration), np.exp(fast_rate * duration)
    even, odd = 0.5 * (slow + fast), 0.5 * (slow - fast) / np.maximum(spread, _TRACE_PER_S)
    gap_air, gap_mass = air_C - balance_air, mass_C - balance_mass
    new_air = balance_air + even * gap_air + odd * ((a - middle) * gap_air + b * gap_mass)
    new_mass = balance_mass + even * gap_mass + odd * (c * gap_air + (d - middle) * gap_mass)

    # Water: fresh air against people and drain; without any exchange it just adds up.
    kilograms = np.asarray(parameters.air_mass_kg, dtype=np.float64)
    exchange = leak_kg_per_s + curtain_kg_per_s
    evaporated = np.asarray(inhabitants.latent_W) / air.VAPORISATION_AT_0_C_J_PER_KG
    gain = evaporated - np.asarray(condensate_kg_per_s)
    ratio = np.asarray(state.humidity_ratio_kg_per_kg, dtype=np.float64)
    decay = exchange * duration / kilograms
    averaging = np.where(decay > 1e-9, -np.expm1(-decay) / np.maximum(decay, 1e-12), 1.0)
    new_ratio = ratio + averaging * duration / kilograms * (exchange * (outside_ratio - ratio) + gain)
    return CabinState(
        air_C=np.asarray(new_air)[()],
        mass_C=np.asarray(new_mass)[()],
        humidity_ratio_kg_per_kg=np.maximum(new_ratio, 1e-5)[()],
    )
