"""The bunk: its air, the mass around it, and the water in its air.

Two nodes of heat (air with what follows it at once; walls, bedding and trim) and one of water. The heat
equations are linear over a step in which sun, outside air and cooling hold still, so the step is solved
exactly by the matrix exponential of the two-by-two system: no step is too long to be stable, and steps add
up. Every field is a number or an array (B,).

Laws: C·dT/dt = sum of UA·ΔT and heat; water by what leak, curtain, people and coil bring and take.
Sources: lumped heat balance, ASHRAE Fundamentals (people, infiltration); sizes invented, their effects within what a field
study of sleeper cabs reports (tests/reference/authorities/cab_nrel.json).
Limits: minutes to days in a closed bunk with well mixed air: no layers, no draught at the vent, no radiation of its own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parked_hvac.physics import air
from parked_hvac.physics.each import each
from parked_hvac.physics.scalar import cabin as law

Floats = NDArray[np.float64]


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
    sensible, latent = each(law.people_W, count, air_C, total_W, sensible_at_24_W)
    return People(sensible_W=sensible, latent_W=latent)


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
    air_now_C, mass_C, ratio = each(
        law.advance,
        state.air_C,
        state.mass_C,
        state.humidity_ratio_kg_per_kg,
        vars(parameters),
        seconds,
        outside_C,
        outside_humidity_ratio_kg_per_kg,
        sun_W,
        inhabitants.sensible_W,
        inhabitants.latent_W,
        curtain_open,
        outside_C if cab_C is None else cab_C,
        other_heat_W,
        supply_W_per_K,
        supply_C,
        condensate_kg_per_s,
    )
    return CabinState(air_C=air_now_C, mass_C=mass_C, humidity_ratio_kg_per_kg=ratio)
