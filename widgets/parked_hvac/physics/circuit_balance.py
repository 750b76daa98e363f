"""Balance of the refrigerant circuit: where evaporator, compressor and condenser agree.

The evaporator's surface temperature and the condensing temperature are sought by a fixed number of Newton
steps such that the compressor carries the heat that the evaporator takes up (no shortage) and the condenser
gives off that heat and the compressor's work (no surplus). The same arithmetic serves a single draw, as
Python floats, and many side by side, as arrays: `Maths` holds the few functions that differ.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np

from parked_hvac.physics import air
from parked_hvac.physics import refrigerant_tables as tables

Value = Any  # a float, or an array (B,)

_FADE_PER_K = (
    0.06  # below the tables suction pressure and density go on falling at about the rate they have there
)
_LONGEST_STEP_K = 18.0
_HOTTEST_GAP_K = 65.0  # superheat beyond the set one ends here, inside the tables


class Maths(NamedTuple):
    """The functions that floats and arrays do not share."""

    exp: Callable[[Value], Value]
    expm1: Callable[[Value], Value]
    sqrt: Callable[[Value], Value]
    largest: Callable[[Value, Value], Value]
    smallest: Callable[[Value, Value], Value]
    pick: Callable[[Value, Value, Value], Value]


FOR_FLOATS = Maths(
    math.exp, math.expm1, math.sqrt, max, min, lambda condition, yes, no: yes if condition else no
)
FOR_ARRAYS = Maths(np.exp, np.expm1, np.sqrt, np.maximum, np.minimum, np.where)


class Circuit(NamedTuple):
    """What holds still while the balance is sought."""

    bunk_C: Value
    humidity_ratio: Value
    outside_C: Value
    dry_kg_per_s: Value
    stream_W_per_K: Value
    contact: Value
    to_refrigerant_W_per_K: Value
    dry_share: Value  # of the evaporator, for want of liquid
    give_off_W_per_K: Value
    swept_m3_per_s: Value
    filled: Value
    clearance: Value
    efficiency: Value
    friction_W: Value
    superheat_K: Value
    subcooling_K: Value


class Trial(NamedTuple):
    """The circuit at trial temperatures, and how its two balances would change with them (W/K)."""

    shortage_W: Value  # heat the compressor would carry, less the heat the evaporator takes up
    surplus_W: Value  # heat and work, less the heat given off outside
    slopes_W_per_K: tuple[
        Value, Value, Value, Value
    ]  # shortage, shortage, surplus, surplus by surface, condensing, ...
    evaporating_C: Value
    ln_suction_kPa: Value
    ln_discharge_kPa: Value
    sensible_W: Value
    latent_W: Value
    condensate_kg_per_s: Value
    work_W: Value
    flow_kg_per_s: Value
    superheat_K: Value
    over_J_per_kg: Value  # discharge enthalpy above that of saturated vapour
    hotter_K_per_J_per_kg: Value  # discharge superheat that this makes, per J/kg


def attempt(m: Maths, g: Circuit, surface: Value, condensing: Value) -> Trial:
    """The circuit at a trial surface and condensing temperature in °C."""
    # Evaporator, air and water side. Saturation pressure in Magnus form (A. L. Buck, J. Appl. Meteorol. 20
    # (1981) 1527), 0.3 % from `air` and much faster.
    cooler = g.contact * (g.bunk_C - surface)
    sensible = g.stream_W_per_K * cooler
    chilled = m.largest(surface, -60.0)
    steep = m.pick(chilled < 0.0, 22.452, 17.502)
    shift = m.pick(chilled < 0.0, 272.55, 240.97) + chilled
    fog = 0.61121 * m.exp(steep * chilled / shift)
    rest = air.STANDARD_PRESSURE_KPA - fog
    touched = g.dry_kg_per_s * g.contact
    condensate = touched * m.largest(g.humidity_ratio - air.MOLAR_RATIO * fog / rest, 0.0)
    steam = (
        air.VAPORISATION_AT_0_C_J_PER_KG
        + air.VAPOUR_J_PER_KG_K * (g.bunk_C - cooler)
        - air.LIQUID_WATER_J_PER_KG_K * surface
    )
    latent = condensate * steam
    taken = sensible + latent
    fog_slope = fog * steep * (shift - chilled) / (shift * shift)
    wetter = (
        -touched
        * air.MOLAR_RATIO
        * air.STANDARD_PRESSURE_KPA
        * fog_slope
        / (rest * rest)
        * (condensate > 0.0)
    )
    taken_slope = wetter * steam - g.stream_W_per_K * g.contact

    # Suction side
    evaporating = surface - taken / g.to_refrigerant_W_per_K
    evaporating_slope = 1.0 - taken_slope / g.to_refrigerant_W_per_K
    held = m.smallest(m.largest(evaporating, tables.LOWEST_EVAPORATING_C), tables.HIGHEST_EVAPORATING_C)
    held_slope = evaporating_slope * (held == evaporating)
    below = m.smallest(evaporating - tables.LOWEST_EVAPORATING_C, 0.0)
    gap = m.smallest(m.largest(g.bunk_C - held - g.superheat_K, 0.0), _HOTTEST_GAP_K)
    superheat = g.superheat_K + g.dry_share * gap
    low = tables.low_side(held)
    thinner = superheat * (low.thinner_per_K + superheat * low.thinner_per_K2) + _FADE_PER_K * below
    density = m.exp(low.ln_density + thinner)
    density_slope = density * (
        low.ln_density_per_K * held_slope + _FADE_PER_K * evaporating_slope * (below < 0.0)
    )
    suction = low.vapour_J_per_kg + superheat * (low.hotter_J_per_kg_K + superheat * low.hotter_J_per_kg_K2)

    # Discharge side
    high = tables.high_side(condensing)
    sub = g.subcooling_K
    gain = suction - high.liquid_J_per_kg + sub * (high.liquid_J_per_kg_K - sub * high.liquid_J_per_kg_K2)
    ln_ratio = m.largest(high.ln_kPa - low.ln_kPa, 0.02)
    per_ln = tables.work_per_ln_ratio_J_per_kg(held, ln_ratio, superheat) / g.efficiency
    work = per_ln * ln_ratio
    # Gas left in the dead volume expands before fresh gas enters: adiabatic exponent of R-134a about 1.1.
    lost = g.filled * g.clearance * m.exp(ln_ratio / 1.1)
    fill = m.largest(g.filled * (1.0 + g.clearance) - lost, 0.02)
    carried = g.swept_m3_per_s * density * fill
    flow = taken / gain
    over = m.largest(suction + work - high.vapour_J_per_kg, 0.0)
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


def settle(m: Maths, g: Circuit, surface: Value, condensing: Value, steps: int) -> tuple[Value, Value, Trial]:
    """Surface and condensing temperature of the balance after so many Newton steps, and the circuit there.

    A step that meets a bound goes on along it: the surface stays below the bunk's air, the condenser above
    the outside air and within the tables. Each time the surface turns back its longest step is halved, so no
    draw swings for ever.
    """
    ceiling, floor = g.bunk_C - 1e-3, g.outside_C + 1e-3
    reach, moved = _LONGEST_STEP_K, 0.0
    for _ in range(steps):
        tried = attempt(m, g, surface, condensing)
        a, b, c, d = tried.slopes_W_per_K
        # A warmer surface brings more flow and less heat, a hotter condenser less flow and more heat given
        # off: slopes of the other sign arise only far from the balance, and would lead away from it.
        a, b, c, d = m.largest(a, 0.1), m.smallest(b, 0.0), m.smallest(c, 0.0), m.smallest(d, -0.1)
        hotter = (tried.shortage_W * c - tried.surplus_W * a) / (a * d - b * c)
        hotter = m.smallest(m.largest(hotter, -_LONGEST_STEP_K), _LONGEST_STEP_K)
        hotter = m.smallest(m.largest(condensing + hotter, floor), tables.HIGHEST_CONDENSING_C) - condensing
        warmer = m.smallest(-(tried.shortage_W + b * hotter) / a, ceiling - surface)
        reach = m.pick(warmer * moved < 0.0, 0.5 * reach, reach)
        moved = m.smallest(m.largest(warmer, -reach), reach)
        surface, condensing = surface + moved, condensing + hotter
    return surface, condensing, attempt(m, g, surface, condensing)
