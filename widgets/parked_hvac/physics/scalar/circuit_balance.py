"""Balance of the refrigerant circuit: where evaporator, compressor and condenser agree, for one draw.

The evaporator's surface temperature and the condensing temperature are sought by a fixed number of Newton
steps such that the compressor carries the heat that the evaporator takes up (no shortage) and the condenser
gives off that heat and the compressor's work (no surplus).
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from parked_hvac.physics.scalar.moist_air import (
    LIQUID_WATER_J_PER_KG_K,
    MOLAR_RATIO,
    STANDARD_PRESSURE_KPA,
    VAPORISATION_AT_0_C_J_PER_KG,
    VAPOUR_J_PER_KG_K,
)
from parked_hvac.physics.scalar.refrigerant import (
    HIGHEST_CONDENSING_C,
    HIGHEST_EVAPORATING_C,
    LOWEST_EVAPORATING_C,
    high_side,
    low_side,
    work_per_ln_ratio_J_per_kg,
)

_FADE_PER_K = (
    0.06  # below the tables suction pressure and density go on falling at about the rate they have there
)
_LONGEST_STEP_K = 18.0
_SETTLED_K = 1e-5
_HOTTEST_GAP_K = 65.0  # superheat beyond the set one ends here, inside the tables


class Circuit(NamedTuple):
    """What holds still while the balance is sought."""

    bunk_C: float
    humidity_ratio: float
    outside_C: float
    dry_kg_per_s: float
    stream_W_per_K: float
    contact: float
    to_refrigerant_W_per_K: float
    dry_share: float  # of the evaporator, for want of liquid
    give_off_W_per_K: float
    swept_m3_per_s: float
    filled: float
    clearance: float
    efficiency: float
    friction_W: float
    superheat_K: float
    subcooling_K: float


class Trial(NamedTuple):
    """The circuit at trial temperatures, and how its two balances would change with them (W/K)."""

    shortage_W: float  # heat the compressor would carry, less the heat the evaporator takes up
    surplus_W: float  # heat and work, less the heat given off outside
    slopes_W_per_K: tuple[
        float, float, float, float
    ]  # shortage, shortage, surplus, surplus by surface, condensing, ...
    evaporating_C: float
    ln_suction_kPa: float
    ln_discharge_kPa: float
    sensible_W: float
    latent_W: float
    condensate_kg_per_s: float
    work_W: float
    flow_kg_per_s: float
    superheat_K: float
    over_J_per_kg: float  # discharge enthalpy above that of saturated vapour
    hotter_K_per_J_per_kg: float  # discharge superheat that this makes, per J/kg


def attempt(k: Any, g: Circuit, surface: float, condensing: float) -> Trial:
    """The circuit at a trial surface and condensing temperature in °C."""
    # Evaporator, air and water side. Saturation pressure in Magnus form (A. L. Buck, J. Appl. Meteorol. 20
    # (1981) 1527), 0.3 % from `air` and much faster.
    cooler = g.contact * (g.bunk_C - surface)
    sensible = g.stream_W_per_K * cooler
    chilled = max(surface, -60.0)
    steep = 22.452 if chilled < 0.0 else 17.502
    shift = (272.55 if chilled < 0.0 else 240.97) + chilled
    fog = 0.61121 * math.exp(steep * chilled / shift)
    rest = STANDARD_PRESSURE_KPA - fog
    touched = g.dry_kg_per_s * g.contact
    condensate = touched * max(g.humidity_ratio - MOLAR_RATIO * fog / rest, 0.0)
    steam = (
        VAPORISATION_AT_0_C_J_PER_KG
        + VAPOUR_J_PER_KG_K * (g.bunk_C - cooler)
        - LIQUID_WATER_J_PER_KG_K * surface
    )
    latent = condensate * steam
    taken = sensible + latent
    fog_slope = fog * steep * (shift - chilled) / (shift * shift)
    wetter = -touched * MOLAR_RATIO * STANDARD_PRESSURE_KPA * fog_slope / (rest * rest) * (condensate > 0.0)
    taken_slope = wetter * steam - g.stream_W_per_K * g.contact

    # Suction side
    evaporating = surface - taken / g.to_refrigerant_W_per_K
    evaporating_slope = 1.0 - taken_slope / g.to_refrigerant_W_per_K
    held = min(max(evaporating, LOWEST_EVAPORATING_C), HIGHEST_EVAPORATING_C)
    held_slope = evaporating_slope * (held == evaporating)
    below = min(evaporating - LOWEST_EVAPORATING_C, 0.0)
    gap = min(max(g.bunk_C - held - g.superheat_K, 0.0), _HOTTEST_GAP_K)
    superheat = g.superheat_K + g.dry_share * gap
    low = low_side(k, held)
    thinner = superheat * (low.thinner_per_K + superheat * low.thinner_per_K2) + _FADE_PER_K * below
    density = math.exp(low.ln_density + thinner)
    density_slope = density * (
        low.ln_density_per_K * held_slope + _FADE_PER_K * evaporating_slope * (below < 0.0)
    )
    suction = low.vapour_J_per_kg + superheat * (low.hotter_J_per_kg_K + superheat * low.hotter_J_per_kg_K2)

    # Discharge side
    high = high_side(k, condensing)
    sub = g.subcooling_K
    gain = suction - high.liquid_J_per_kg + sub * (high.liquid_J_per_kg_K - sub * high.liquid_J_per_kg_K2)
    ln_ratio = max(high.ln_kPa - low.ln_kPa, 0.02)
    per_ln = work_per_ln_ratio_J_per_kg(k, held, ln_ratio, superheat) / g.efficiency
    work = per_ln * ln_ratio
    # Gas left in the dead volume expands before fresh gas enters: adiabatic exponent of R-134a about 1.1.
    lost = g.filled * g.clearance * math.exp(ln_ratio / 1.1)
    fill = max(g.filled * (1.0 + g.clearance) - lost, 0.02)
    carried = g.swept_m3_per_s * density * fill
    flow = taken / gain
    over = max(suction + work - high.vapour_J_per_kg, 0.0)
    hotter = high.hotter_K_per_J_per_kg + over * (
        high.hotter_K_per_J_per_kg_2 + over * high.hotter_K_per_J_per_kg_3
    )

    # Slopes: close enough for Newton steps, the small second-order parts left out.
    lift = ln_ratio > 0.02
    ratio_by_surface, ratio_by_condensing = -low.ln_kPa_per_K * held_slope * lift, high.ln_kPa_per_K * lift
    gain_by_surface = (
        low.vapour_J_per_kg_K * held_slope - low.hotter_J_per_kg_K * g.dry_share * held_slope * (gap > 0.0)
    )
    gain_by_condensing = -high.liquid_J_per_kg_K
    fill_per_ratio = -lost / 1.1 * g.swept_m3_per_s * density
    work_per_ratio = 1.1 * per_ln * flow
    work_share = work / gain
    slopes = (
        density_slope * g.swept_m3_per_s * fill * gain
        + fill_per_ratio * ratio_by_surface * gain
        + carried * gain_by_surface
        - taken_slope,
        fill_per_ratio * ratio_by_condensing * gain + carried * gain_by_condensing,
        taken_slope * (1.0 + work_share)
        + work_per_ratio * ratio_by_surface
        - flow * work_share * gain_by_surface,
        work_per_ratio * ratio_by_condensing - flow * work_share * gain_by_condensing - g.give_off_W_per_K,
    )
    return Trial(
        shortage_W=carried * gain - taken,
        surplus_W=taken + flow * work + g.friction_W - g.give_off_W_per_K * (condensing - g.outside_C),
        slopes_W_per_K=slopes,
        evaporating_C=evaporating,
        ln_suction_kPa=low.ln_kPa + _FADE_PER_K * below,
        ln_discharge_kPa=high.ln_kPa,
        sensible_W=sensible,
        latent_W=latent,
        condensate_kg_per_s=condensate,
        work_W=flow * work + g.friction_W,
        flow_kg_per_s=flow,
        superheat_K=superheat,
        over_J_per_kg=over,
        hotter_K_per_J_per_kg=hotter,
    )


def settle(k: Any, g: Circuit, surface: float, condensing: float, steps: int) -> tuple[float, float, Trial]:
    """Surface and condensing temperature of the balance after so many Newton steps, and the circuit there.

    Fewer where the last of them moved nothing that counts.

    A step that meets a bound goes on along it: the surface stays below the bunk's air, the condenser above
    the outside air and within the tables. Each time the surface turns back its longest step is halved, so no
    draw swings for ever.
    """
    ceiling, floor = g.bunk_C - 1e-3, g.outside_C + 1e-3
    reach, moved = _LONGEST_STEP_K, 0.0
    for _ in range(steps):
        tried = attempt(k, g, surface, condensing)
        a, b, c, d = tried.slopes_W_per_K
        # A warmer surface brings more flow and less heat, a hotter condenser less flow and more heat given
        # off: slopes of the other sign arise only far from the balance, and would lead away from it.
        a, b, c, d = max(a, 0.1), min(b, 0.0), min(c, 0.0), min(d, -0.1)
        hotter = (tried.shortage_W * c - tried.surplus_W * a) / (a * d - b * c)
        hotter = min(max(hotter, -_LONGEST_STEP_K), _LONGEST_STEP_K)
        hotter = min(max(condensing + hotter, floor), HIGHEST_CONDENSING_C) - condensing
        warmer = min(-(tried.shortage_W + b * hotter) / a, ceiling - surface)
        if warmer * moved < 0.0:
            reach = 0.5 * reach
        moved = min(max(warmer, -reach), reach)
        surface, condensing = surface + moved, condensing + hotter
        if max(abs(moved), abs(hotter)) < _SETTLED_K:
            break
    return surface, condensing, attempt(k, g, surface, condensing)
