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
from parked_hvac.rig.kernel.numbers import BUNK, EVAPORATOR, SHAFT

_COMPRESSOR_LAG_S = 600.0
_MELTING_W_PER_K = 14.0  # what the air brings to the ice; invented for this course
_PAN_FULL_KG = 0.35
_DRAINING_KG = 0.03  # water that stands in the pan while it drains
_STEPS_FROM_GUESS, _STEPS_FROM_SCRATCH = 5, 10
_PERSON_W, _PERSON_SENSIBLE_W = 105.0, 70.0  # see cabin.people
_BLOWS = 0.02  # share of the blower's speed below which the air stands


def advance(draw: Any, p: Any, hand: Any, k: Any, sun_W_per_m2: Any, rpm: float, seconds: float) -> None:
    """A step in which fans and fingers hold still and the compressor turns at ``rpm`` in the mean.

    ``k``: the coefficients of `refrigerant_tables`; ``sun_W_per_m2``: the clear sky, minute by minute. What follows
    something that moves is taken to follow it on a straight line, so that errors fall with the square of the step.
    """
    bunk_before, surface_before = draw.bunk_C, draw.surface_C
    blower, running = draw.blower_fraction, rpm > STANDING_RPM
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
        draw.fan_fraction,
        p.condenser_blockage,
        hand.outside_C,
        blower * p.evaporator_flow_m3_per_s,
        draw.ice_kg,
        draw.bunk_C + 0.5 * min(max(draw.rate_per_s[BUNK] * seconds, -1.0), 1.0),
        draw.humidity_ratio,
        surface,
        condensing,
        steps,
    )
    draw.balanced = rpm >= STANDING_RPM
    draw.balance_surface_C, draw.balance_condensing_C = made.surface_C, made.condensing_C
    quick = -math.expm1(-seconds / p.evaporator_lag_s)
    slow = -math.expm1(-seconds / p.condenser_lag_s)
    draw.surface_C = draw.surface_C + quick * (made.surface_C - draw.surface_C)
    draw.condensing_C = draw.condensing_C + slow * (made.condensing_C - draw.condensing_C)
    shaft_before_W = draw.shaft_W
    draw.shaft_W = draw.shaft_W + slow * (made.compressor_shaft_W - draw.shaft_W) if running else 0.0
    target_off = made.air_off_C if blower > _BLOWS else draw.surface_C
    mixed = target_off + p.door_stuck_hot * 0.75 * (draw.bunk_C + 6.0 - target_off)
    vent_before = draw.air_off_C
    draw.air_off_C = draw.air_off_C + quick * (mixed - draw.air_off_C)
    draw.cooling_W = draw.cooling_W + quick * (made.cooling_W - draw.cooling_W)
    _advance_water(draw, p, made.condensate_kg_per_s, seconds)
    supply = made.supply_W_per_K if blower > _BLOWS else 0.0
    vent_C = 0.5 * (vent_before + draw.air_off_C)
    _advance_bunk(draw, p, hand, sun_W_per_m2, supply, vent_C, made.condensate_kg_per_s, seconds)
    body = 0.75 * made.discharge_C + 0.25 * hand.outside_C if running else hand.outside_C
    draw.compressor_C = follow(draw.compressor_C, body, _COMPRESSOR_LAG_S, seconds)
    for i in range(len(draw.sensor_C)):
        place_C, moved_C = hand.outside_C, 0.0
        if hand.warmed[i]:
            place_C = p.sensor_finger_C
        elif i == 0:
            # The fins close on their balance, and the bead follows them: exact for both together.
            ratio = p.sensor_time_constant_s / p.evaporator_lag_s
            place_C = made.surface_C
            behind_C = (surface_before - place_C) / (1.0 - min(ratio, 0.99))
            moved_C = behind_C * math.exp(-seconds / p.evaporator_lag_s)
            draw.sensor_C[i] -= behind_C
        elif i == 1:
            # The air moves on a straight line, and the bead keeps so far behind it.
            behind_C = (draw.bunk_C - bunk_before) / seconds * p.sensor_time_constant_s
            place_C, moved_C = bunk_before - behind_C, draw.bunk_C - bunk_before
        draw.sensor_C[i] = follow(draw.sensor_C[i], place_C, p.sensor_time_constant_s, seconds) + moved_C
    draw.rate_per_s[BUNK] = (draw.bunk_C - bunk_before) / seconds
    draw.rate_per_s[SHAFT] = abs(draw.shaft_W - shaft_before_W) / seconds if running else 0.0
    draw.rate_per_s[EVAPORATOR] = abs(draw.surface_C - surface_before) / seconds
    draw.hour = (draw.hour + seconds / 3600.0) % 24.0


def _advance_water(draw: Any, p: Any, condensate_kg_per_s: float, seconds: float) -> None:
    melting = _MELTING_W_PER_K * (0.2 + draw.blower_fraction)
    rate = ice_rate_kg_per_s(draw.surface_C, condensate_kg_per_s, draw.ice_kg, melting, draw.bunk_C)
    # A minute of frost moves the air flow by less than a hundredth, so an explicit step will do.
    draw.ice_kg = min(max(draw.ice_kg + rate * seconds, 0.0), p.ice_full_kg)
    gained = max(condensate_kg_per_s - max(rate, 0.0), 0.0) * seconds
    draw.water_kg = draw.water_kg + gained
    if p.drain_plugged <= 0.5:
        draw.water_kg = min(draw.water_kg, _DRAINING_KG)
    draw.spilled = draw.spilled or draw.water_kg > _PAN_FULL_KG


def _advance_bunk(
    draw: Any,
    p: Any,
    hand: Any,
    sun_W_per_m2: Any,
    supply_W_per_K: float,
    vent_C: float,
    condensate_kg_per_s: float,
    seconds: float,
) -> None:
    minute = draw.hour * 60.0
    whole = min(int(minute), len(sun_W_per_m2) - 2)
    level = sun_W_per_m2[whole] + (minute - whole) * (sun_W_per_m2[whole + 1] - sun_W_per_m2[whole])
    lamp = min(max(level / 900.0, 0.0), 1.2)
    sensible, latent = people_W(hand.occupants, draw.bunk_C, _PERSON_W, _PERSON_SENSIBLE_W)
    draw.bunk_C, draw.mass_C, draw.humidity_ratio = advance_cabin(
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
