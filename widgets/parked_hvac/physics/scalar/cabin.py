"""The bunk over one step in which everything around it holds still; the law stands at ``cabin``."""

from __future__ import annotations

import math
from typing import Any

from parked_hvac.physics.scalar.moist_air import (
    DRY_AIR_J_PER_KG_K,
    STANDARD_PRESSURE_KPA,
    VAPORISATION_AT_0_C_J_PER_KG,
    VAPOUR_J_PER_KG_K,
    volume_m3_per_kg,
)

_TRACE_W_PER_K = 1e-6  # always leads outside, so that there is a balance to tend to
_TRACE_PER_S = 1e-15


def people_W(count: float, air_C: float, total_W: float, sensible_at_24_W: float) -> tuple[float, float]:
    """Sensible and latent heat in W of people at rest; the law stands at ``cabin.people``."""
    falling = sensible_at_24_W * (1.0 - 0.2 / 3.0 * (air_C - 24.0))
    sensible = min(max(falling, 0.0), total_W)
    return count * sensible, count * (total_W - sensible)


def advance(
    air_C: float,
    mass_C: float,
    humidity_ratio: float,
    p: Any,
    seconds: float,
    outside_C: float,
    outside_ratio: float,
    sun_W: float,
    sensible_W: float,
    latent_W: float,
    curtain_open: float,
    cab_C: float,
    other_heat_W: float,
    supply_W_per_K: float,
    supply_C: float,
    condensate_kg_per_s: float,
) -> tuple[float, float, float]:
    """Air and mass temperature in °C and humidity ratio after ``seconds``; exact for heat and for water.

    ``p``: anything with the fields of ``cabin.CabinParameters``.
    """
    leak_kg_per_s = p.leak_m3_per_s / volume_m3_per_kg(outside_C, outside_ratio, STANDARD_PRESSURE_KPA)
    curtain_kg_per_s = (
        p.curtain_open_m3_per_s * curtain_open / volume_m3_per_kg(cab_C, outside_ratio, STANDARD_PRESSURE_KPA)
    )
    moist = DRY_AIR_J_PER_KG_K + outside_ratio * VAPOUR_J_PER_KG_K
    leak, curtain = leak_kg_per_s * moist, curtain_kg_per_s * moist
    window, inner = p.air_to_outside_W_per_K, p.air_to_mass_W_per_K
    skin = max(p.mass_to_outside_W_per_K, _TRACE_W_PER_K)
    light, heavy, share = p.air_capacity_J_per_K, p.mass_capacity_J_per_K, p.sun_on_air_share

    # d(air, mass)/dt = matrix @ (air, mass) + drive, one capacity per row
    away = window + leak + curtain + supply_W_per_K
    a = -(inner + away) / light
    b = inner / light
    c = inner / heavy
    d = -(inner + skin) / heavy
    into_air = (window + leak) * outside_C + curtain * cab_C + supply_W_per_K * supply_C + share * sun_W
    drive_air = (into_air + sensible_W + other_heat_W) / light
    drive_mass = (skin * outside_C + (1.0 - share) * sun_W) / heavy

    # The balance it tends to, then the exponential of the rest; written so that nothing large cancels.
    determinant = (inner * skin + away * (inner + skin)) / (light * heavy)
    balance_air = (b * drive_mass - d * drive_air) / determinant
    balance_mass = (c * drive_air - a * drive_mass) / determinant
    middle = 0.5 * (a + d)
    spread = math.sqrt(0.25 * (a - d) * (a - d) + b * c)  # real: both couplings are positive
    fast_rate = middle - spread
    slow, fast = math.exp(determinant / fast_rate * seconds), math.exp(fast_rate * seconds)
    even, odd = 0.5 * (slow + fast), 0.5 * (slow - fast) / max(spread, _TRACE_PER_S)
    gap_air, gap_mass = air_C - balance_air, mass_C - balance_mass
    new_air = balance_air + even * gap_air + odd * ((a - middle) * gap_air + b * gap_mass)
    new_mass = balance_mass + even * gap_mass + odd * (c * gap_air + (d - middle) * gap_mass)

    # Water: fresh air against people and drain; without any exchange it just adds up.
    exchange = leak_kg_per_s + curtain_kg_per_s
    gain = latent_W / VAPORISATION_AT_0_C_J_PER_KG - condensate_kg_per_s
    decay = exchange * seconds / p.air_mass_kg
    averaging = -math.expm1(-decay) / decay if decay > 1e-9 else 1.0
    new_ratio = humidity_ratio + averaging * seconds / p.air_mass_kg * (
        exchange * (outside_ratio - humidity_ratio) + gain
    )
    return new_air, new_mass, max(new_ratio, 1e-5)
