"""How long a draw's next step may be.

A step ends where a delay ends, where something is about to pass a switching point, and before anything that
others depend on has moved far. What moved in the last step tells how fast it moves. ``hand.step_scale`` makes
all of these limits finer or coarser, the ends of delays apart.
"""

from __future__ import annotations

import math
from typing import Any

from parked_hvac.rig.kernel.branches import tap_V
from parked_hvac.rig.kernel.controller import COOLER_K, WARMER_K, measured_C, wanted_C
from parked_hvac.rig.kernel.controller import next_event_s as next_of_controller
from parked_hvac.rig.kernel.isolator import next_event_s as next_of_isolator
from parked_hvac.rig.kernel.numbers import (
    BENDING,
    BLOWN,
    BUILDING,
    BUNK,
    COMMANDED,
    CUT_OUT,
    DRIVE,
    DRIVE_LOW,
    EVAPORATOR,
    FALLING,
    FANNED,
    FROST,
    HEAT,
    HIGH_SIDE,
    ISOLATOR,
    PANEL,
    PANEL_LOW,
    SENSE,
    SHAFT,
    SPEED,
    SUPPLY,
    SWITCHING_POINTS,
    THERMOSTAT,
    WAKING,
)

_SHORTEST_S, _FIRST_S, _LONGEST_S, _GROWTH = 0.2, 1.0, 30.0, 2.5
_SHORTEST_DELAY_S = 1e-3
_PAST = 1.1  # of the way to a switching point
LATE_S = 2e-3
"""How late something may switch."""
_SPEED_RPM = 540.0
_SUPPLY_V, _SHAFT_W, _MOST_SHAFT_W, _SHAFT_W_PER_V = 0.05, 20.0, 120.0, 300.0
_BUNK_K, _MOST_BUNK_K, _BUNK_SHARE, _EVAPORATOR_K, _SHARE = 0.15, 0.6, 0.1, 2.0, 0.3
"""What may change in one step: little near a switching point, further off a share of the way there."""
_QUICK_V, _QUICK_S, _SLOW_V, _SLOW_S = 0.012, 1.0, 0.003, 4.0
"""How far a battery's surface charge may fall, in steps of one to four seconds and in longer ones."""
_BUILT_V, _BENT_V = 0.05, 0.003
"""How far one may rise, little against the third of a volt at which gassing grows e-fold; and how far off it may end for a
charging current that goes another way than in the step before. That makes no step shorter than four seconds: where surface
charge neither builds up nor bleeds, currents of batteries in parallel go to and fro a little in steps of any length."""
_FAR = 1e6


def begin_anew(draw: Any, hand: Any, cells: Any) -> None:
    """The next step is a short one: hands have moved something, or something has switched."""
    draw.step_s = _FIRST_S * hand.step_scale
    for i in range(len(cells)):
        cells[i].current_A_per_s = 0.0
    draw.rate_per_s[COMMANDED] = draw.rate_per_s[BLOWN] = draw.rate_per_s[FANNED] = 0.0


def grow(draw: Any, hand: Any) -> None:
    """The next step may be longer: nothing has switched."""
    draw.step_s = min(draw.step_s * _GROWTH, _LONGEST_S * hand.step_scale)


def next_step_s(draw: Any, p: Any, hand: Any, wiring: Any, volts: Any) -> float:
    """How long the next step may be."""
    scale, rates = hand.step_scale, draw.rate_per_s
    falling = max(rates[FALLING], 1e-9)
    battery_s = max(_QUICK_S, min(_SLOW_S, _QUICK_V / falling), _SLOW_V / falling)
    bent_s = math.sqrt(_BENT_V / max(rates[BENDING], 1e-9))
    charging_s = min(_BUILT_V / max(rates[BUILDING], 1e-9), max(bent_s, _SLOW_S))
    bunk_K = max(_BUNK_K, min(_BUNK_SHARE * abs(draw.margin[THERMOSTAT]), _MOST_BUNK_K))
    shaft_W = max(_SHAFT_W, min(_SHAFT_W_PER_V * abs(draw.margin[CUT_OUT]), _MOST_SHAFT_W))
    evaporator_K = max(_EVAPORATOR_K, _SHARE * abs(draw.margin[FROST]))
    supply_V = max(_SUPPLY_V, _SHARE * abs(draw.margin[CUT_OUT]))
    step = min(
        draw.step_s,
        scale * battery_s,
        scale * charging_s,
        scale * bunk_K / max(abs(rates[BUNK]), 1e-9),
        scale * evaporator_K / max(rates[EVAPORATOR], 1e-9),
        scale * _SPEED_RPM / max(rates[SPEED], 1e-9),
        scale * shaft_W / max(rates[SHAFT], 1e-9),
        scale * supply_V / max(abs(draw.margin_per_s[CUT_OUT]), 1e-9),
    )
    step = max(step, _SHORTEST_S * scale)
    for i in range(SWITCHING_POINTS):
        if draw.margin[i] * draw.margin_per_s[i] < 0.0:
            # A little past the switching point, for between two moments it is found at once.
            step = min(step, _PAST * -draw.margin[i] / draw.margin_per_s[i] + LATE_S)
    delay = min(
        next_of_isolator(draw, p, tap_V(wiring, volts, SENSE)),
        next_of_controller(draw, p, tap_V(wiring, volts, SUPPLY)),
    )
    return float(min(step, max(delay, _SHORTEST_DELAY_S)))


def passed(draw: Any, ahead: Any) -> int:
    """The switching point that a step passes first, by its margins ``ahead``, or -1."""
    first, number = 2.0, -1
    for i in range(SWITCHING_POINTS):
        before, after = draw.margin[i], ahead[i]
        if before * after < 0.0 and max(abs(before), abs(after)) < _FAR:
            share = before / (before - after)
            if share < first:
                first, number = share, i
    return number


def note_rates(draw: Any, ahead: Any, seconds: float) -> None:
    """Remember how fast every switching point was neared in a step that ended with these margins."""
    for i in range(SWITCHING_POINTS):
        near = max(abs(ahead[i]), abs(draw.margin[i])) < _FAR
        draw.margin_per_s[i] = (ahead[i] - draw.margin[i]) / seconds if near else 0.0


def margins(draw: Any, p: Any, hand: Any, wiring: Any, volts: Any, into: Any) -> None:
    """How far everything stands from where it switches, as things are switched now."""
    sense_V = tap_V(wiring, volts, SENSE)
    into[ISOLATOR] = sense_V - (p.isolator_open_V if draw.isolator_wanted else p.isolator_close_V)
    into[HEAT] = draw.compressor_C - p.thermal_switch_opens_C
    into[DRIVE_LOW] = tap_V(wiring, volts, DRIVE) - p.drive_minimum_V
    supply_V = tap_V(wiring, volts, SUPPLY)
    into[WAKING] = supply_V - p.controller_minimum_V
    into[PANEL_LOW] = tap_V(wiring, volts, PANEL) - p.panel_minimum_V
    into[THERMOSTAT] = into[FROST] = into[HIGH_SIDE] = into[CUT_OUT] = _FAR
    if draw.running:
        fins_C, bunk_C = measured_C(p, wiring, volts, 0), measured_C(p, wiring, volts, 1)
        into[THERMOSTAT] = bunk_C - wanted_C(p, hand) - (COOLER_K if draw.thermostat else WARMER_K)
        frost_C = p.controller_evaporator_high_C if draw.frozen else p.controller_evaporator_low_C
        into[FROST] = fins_C - frost_C
        into[HIGH_SIDE] = draw.condensing_C - p.controller_high_pressure_C
        into[CUT_OUT] = supply_V - (p.controller_restart_V if draw.cut_out else p.controller_cut_out_V)
