"""Heat on the truck: refrigerant circuit, bunk, ice and water, and the temperatures that sensors feel."""

from __future__ import annotations

import math
from typing import Any

from parked_hvac.physics.scalar.cabin import advance as advance_cabin
from parked_hvac.physics.scalar.cabin import people_W
from parked_hvac.physics.scalar.thermistor import follow
from parked_hvac.physics.scalar.unit import (
    FIRST_CONDENSING_K,
    FIRST_SURFACE_K,
    STANDING_RPM,
    balance,
    ice_rate_kg_per_s,
)
from parked_hvac.rig.kernel.numbers import BLOWN, BUNK, EVAPORATOR, FANNED, ICE, SHAFT

_COMPRESSOR_LAG_S = 600.0
_MELTING_W_PER_K = 14.0  # what the air brings to the ice; invented for this course
_PAN_FULL_KG = 0.35
_DRAINING_KG = 0.03  # water that stands in the pan while it drains
_STEPS_FROM_GUESS, _STEPS_FROM_SCRATCH = 5, 10
_PERSON_W, _PERSON_SENSIBLE_W = 105.0, 70.0  # see cabin.people
_BLOWS = 0.02  # share of the blower's speed below which the air stands


def advance(draw: Any, p: Any, hand: Any, k: Any, sun_W_per_m2: Any, rpm: float, seconds: float) -> None:
    """A step in which fans and fingers hold still and the compressor turns at ``rpm`` in the mean.

    ``k``: the coefficients of `refrigerant_tables`; ``sun_W_per_m2``: the clear sky, minute by minute. The circuit
    balances at once with what is around it amid the step; fins, condenser and vent close on that balance, which
    moves on a straight line from that of the step before.
    """
    bunk_before, surface_before = draw.bunk_C, draw.surface_C
    rates, half_s = draw.rate_per_s, 0.5 * seconds
    ice_before = draw.ice_kg
    blower, running = max(draw.blower_fraction + half_s * rates[BLOWN], 0.0), rpm > STANDING_RPM
    # Half the step with what the circuit did in the last one tells the bunk amid it, the whole step the rest.
    vent_C = _mean(draw.air_off_C, draw.vent_target_C, half_s / p.evaporator_lag_s)
    supply = draw.supply_W_per_K if blower > _BLOWS else 0.0
    bunk_C, _, ratio = _bunk(
        draw, p, hand, sun_W_per_m2, draw.bunk_C, supply, vent_C, draw.condensate_kg_per_s, half_s
    )
    surface, condensing = draw.balance_surface_C, draw.balance_condensing_C
    steps = _STEPS_FROM_GUESS
    if not draw.balanced:
        surface, condensing = draw.bunk_C + FIRST_SURFACE_K, hand.outside_C + FIRST_CONDENSING_K
        steps = _STEPS_FROM_SCRATCH
    made = balance(
        k,
        p,
        rpm,
        p.refrigerant_charge_fraction,
        max(draw.fan_fraction + half_s * rates[FANNED], 0.0),
        p.condenser_blockage,
        hand.outside_C,
        blower * p.evaporator_flow_m3_per_s,
        max(draw.ice_kg + half_s * rates[ICE], 0.0),
        bunk_C,
        ratio,
        surface,
        condensing,
        steps,
    )
    # Where the compressor has just begun to turn, or stopped, the balance jumps.
    goes_on = draw.balanced and rpm >= STANDING_RPM
    per_s = 1.0 / (half_s + 0.5 * draw.last_s) if goes_on else 0.0
    draw.balanced = rpm >= STANDING_RPM
    surface_K_per_s = (made.surface_C - draw.balance_surface_C) * per_s
    condensing_K_per_s = (made.condensing_C - draw.balance_condensing_C) * per_s
    shaft_W_per_s = (made.compressor_shaft_W - draw.balance_shaft_W) * per_s
    draw.balance_shaft_W = made.compressor_shaft_W
    draw.balance_surface_C, draw.balance_condensing_C = made.surface_C, made.condensing_C
    quick_s, slow_s = p.evaporator_lag_s, p.condenser_lag_s
    draw.surface_C = _closer(draw.surface_C, made.surface_C, surface_K_per_s, quick_s, seconds)
    draw.condensing_C = _closer(draw.condensing_C, made.condensing_C, condensing_K_per_s, slow_s, seconds)
    shaft_before_W = draw.shaft_W
    shaft_W = _closer(draw.shaft_W, made.compressor_shaft_W, shaft_W_per_s, slow_s, seconds)
    draw.shaft_W = max(shaft_W, 0.0) if running else 0.0
    target_off = made.air_off_C if blower > _BLOWS else 0.5 * (surface_before + draw.surface_C)
    mixed = target_off + p.door_stuck_hot * 0.75 * (bunk_C + 6.0 - target_off)
    mixed_K_per_s = (mixed - draw.balance_vent_C) * per_s
    draw.balance_vent_C = mixed
    vent_before_C = draw.air_off_C
    draw.air_off_C = _closer(vent_before_C, mixed, mixed_K_per_s, quick_s, seconds)
    vent_C = mixed - quick_s * (draw.air_off_C - vent_before_C) / seconds
    draw.cooling_W = _closer(draw.cooling_W, made.cooling_W, 0.0, quick_s, seconds)
    fins_C = 0.5 * (surface_before + draw.surface_C)
    _advance_water(draw, p, blower, fins_C, bunk_C, made.condensate_kg_per_s, seconds)
    supply = made.supply_W_per_K if blower > _BLOWS else 0.0
    draw.bunk_C, draw.mass_C, draw.humidity_ratio = _bunk(
        draw, p, hand, sun_W_per_m2, bunk_C, supply, vent_C, made.condensate_kg_per_s, seconds
    )
    draw.vent_target_C, draw.supply_W_per_K = mixed + half_s * mixed_K_per_s, made.supply_W_per_K
    draw.condensate_kg_per_s, draw.last_s = made.condensate_kg_per_s, seconds
    body = 0.75 * made.discharge_C + 0.25 * hand.outside_C if running else hand.outside_C
    draw.compressor_C = follow(draw.compressor_C, body, _COMPRESSOR_LAG_S, seconds)
    for i in range(len(draw.sensor_C)):
        place_C, moved_C = hand.outside_C, 0.0
        if hand.warmed[i]:
            place_C = p.sensor_finger_C
        elif i == 0:
            # The fins close on their balance, and the bead follows them: exact for both together.
            begun_C = made.surface_C - surface_K_per_s * (half_s + quick_s)
            behind_C = (surface_before - begun_C) / (1.0 - min(p.sensor_time_constant_s / quick_s, 0.99))
            place_C = begun_C - surface_K_per_s * p.sensor_time_constant_s
            moved_C = behind_C * math.exp(-seconds / quick_s) + surface_K_per_s * seconds
            draw.sensor_C[i] -= behind_C
        elif i == 1:
            # The air moves on a straight line, and the bead keeps so far behind it.
            behind_C = (draw.bunk_C - bunk_before) / seconds * p.sensor_time_constant_s
            place_C, moved_C = bunk_before - behind_C, draw.bunk_C - bunk_before
        draw.sensor_C[i] = follow(draw.sensor_C[i], place_C, p.sensor_time_constant_s, seconds) + moved_C
    rates[BUNK] = (draw.bunk_C - bunk_before) / seconds
    rates[ICE] = (draw.ice_kg - ice_before) / seconds
    rates[SHAFT] = abs(draw.shaft_W - shaft_before_W) / seconds if running else 0.0
    rates[EVAPORATOR] = abs(draw.surface_C - surface_before) / seconds
    draw.hour = (draw.hour + seconds / 3600.0) % 24.0


def _advance_water(
    draw: Any,
    p: Any,
    blower: float,
    fins_C: float,
    bunk_C: float,
    condensate_kg_per_s: float,
    seconds: float,
) -> None:
    melting = _MELTING_W_PER_K * (0.2 + blower)
    rate = ice_rate_kg_per_s(fins_C, condensate_kg_per_s, draw.ice_kg, melting, bunk_C)
    draw.ice_kg = min(max(draw.ice_kg + rate * seconds, 0.0), p.ice_full_kg)
    gained = max(condensate_kg_per_s - max(rate, 0.0), 0.0) * seconds
    draw.water_kg = draw.water_kg + gained
    if p.drain_plugged <= 0.5:
        draw.water_kg = min(draw.water_kg, _DRAINING_KG)
    draw.spilled = draw.spilled or draw.water_kg > _PAN_FULL_KG


def _closer(start: float, middle: float, per_s: float, lag_s: float, seconds: float) -> float:
    """What follows with a lag, after a step in which its target moves evenly and stands at ``middle`` amid it."""
    left = math.exp(-seconds / lag_s)
    end = middle + left * (start - middle)
    return end + per_s * (0.5 * seconds * (1.0 + left) - lag_s * (1.0 - left))


def _mean(start: float, target: float, spans: float) -> float:
    """Mean over so many time constants of what relaxes to a target."""
    share = -math.expm1(-spans) / spans if spans > 1e-9 else 1.0
    return target + share * (start - target)


def _bunk(
    draw: Any,
    p: Any,
    hand: Any,
    sun_W_per_m2: Any,
    middle_C: float,
    supply_W_per_K: float,
    vent_C: float,
    condensate_kg_per_s: float,
    seconds: float,
) -> tuple[float, float, float]:
    """Air, mass and humidity of the bunk some seconds later; people warm it as they do at ``middle_C``."""
    minute = ((draw.hour + seconds / 7200.0) % 24.0) * 60.0
    whole = min(int(minute), len(sun_W_per_m2) - 2)
    level = sun_W_per_m2[whole] + (minute - whole) * (sun_W_per_m2[whole + 1] - sun_W_per_m2[whole])
    lamp = min(max(level / 900.0, 0.0), 1.2)
    sensible, latent = people_W(hand.occupants, middle_C, _PERSON_W, _PERSON_SENSIBLE_W)
    return advance_cabin(
        draw.bunk_C,
        draw.mass_C,
        draw.humidity_ratio,
        p,
        seconds,
        hand.outside_C,
        hand.outside_ratio,
        p.sun_area_m2 * level,
        sensible,
        latent,
        hand.curtain_open,
        hand.outside_C + p.greenhouse_K * lamp,
        p.door_stuck_hot * 60.0,
        supply_W_per_K,
        vent_C,
        condensate_kg_per_s,
    )
