"""A draw's way through time: relays follow the voltages, steps are as long as what happens allows."""

from __future__ import annotations

from typing import Any

from parked_hvac.physics.scalar.motor import FAN_SLOWEST, brushed, fan_demand, fan_gate
from parked_hvac.rig.kernel.branches import engine_seen, lay, pressed, tap_V
from parked_hvac.rig.kernel.compressor import follow as follow_compressor
from parked_hvac.rig.kernel.controller import advance as advance_controller
from parked_hvac.rig.kernel.controller import follow as follow_controller
from parked_hvac.rig.kernel.equilibrium import solve, spread
from parked_hvac.rig.kernel.isolator import advance as advance_isolator
from parked_hvac.rig.kernel.isolator import follow as follow_isolator
from parked_hvac.rig.kernel.numbers import (
    BLOWER,
    BLOWN,
    COMMAND,
    COMMANDED,
    DRIVE,
    ENABLE,
    FAN,
    FAN_COMMANDED,
    FANNED,
    PANEL,
    SENSE,
    SUPPLY,
    SWITCHING_POINTS,
)
from parked_hvac.rig.kernel.pace import LATE_S, begin_anew, grow, margins, next_step_s, note_rates, passed
from parked_hvac.rig.kernel.refold import forget
from parked_hvac.rig.kernel.trial import attempt, bring_back, keep, move_battery, take

BEGIN, SETTLE, ADVANCE, PROBE = range(4)
"""What can be asked of a draw."""

_SETTLINGS = 10  # rounds in which relays may follow each other; a chattering relay stays as it last was
_TRIALS = 8  # to find when something switches
_COMMAND_V = 1e-3  # a smaller move of the fan command does not ask for another solve


def work(
    job: int,
    seconds: float,
    times: int,
    steps: int,
    red: int,
    black: int,
    pushed_A: float,
    draw: Any,
    p: Any,
    hand: Any,
    cells: Any,
    k: Any,
    sun_W_per_m2: Any,
    order: Any,
    wiring: Any,
    room: Any,
    siemens: Any,
    source_V: Any,
    volts: Any,
) -> float:
    """One job for one draw; returns the voltage probed, or 0.

    BEGIN: the draw has just been made; its batteries rest, all settles. SETTLE: hands have moved something.
    ADVANCE: what is left of the time passes, ``seconds`` more, and so many ``times`` over as if asked for one by one; in
    ``steps`` steps at most. PROBE: the voltage
    between two nodes with a current pushed through; ``volts`` is left as found.
    """
    forget(room)
    if job == PROBE:
        trial = room.volts
        for i in range(len(volts)):
            trial[i] = volts[i]
        solve(draw, p, hand, order, wiring, room, siemens, source_V, trial, red, black, pushed_A)
        spread(order, wiring, room, trial)
        return float(trial[red] - trial[black])
    if job == BEGIN:
        for i in range(len(cells)):
            move_battery(cells[i], 0.0, hand.engine_off_s)
            cells[i].surface_V = max(cells[i].surface_V, cells[i].planted_V)
        lay(draw, p, hand, cells, wiring, volts, siemens, source_V)
        solve(draw, p, hand, order, wiring, room, siemens, source_V, volts, 0, 0, 0.0)
        draw.solved = True
        draw.capacitor_V = tap_V(wiring, volts, DRIVE)
    if job != ADVANCE:
        begin_anew(draw, hand, cells)
        settle(draw, p, hand, cells, order, wiring, room, siemens, source_V, volts, False)
        margins(draw, p, hand, wiring, volts, draw.margin)
        for i in range(SWITCHING_POINTS):
            draw.margin_per_s[i] = 0.0
        spread(order, wiring, room, volts)
        return 0.0
    solved = False
    for _ in range(times):
        draw.left_s = draw.left_s + seconds
        while draw.left_s > 1e-9 and steps > 0:
            step = min(draw.left_s, next_step_s(draw, p, hand, wiring, volts))
            sense_V, supply_V = tap_V(wiring, volts, SENSE), tap_V(wiring, volts, SUPPLY)
            command_V = tap_V(wiring, volts, COMMAND)
            blown, fanned, wanted = draw.blower_fraction, draw.fan_fraction, draw.isolator_wanted
            step = _go(
                draw, p, hand, cells, k, sun_W_per_m2, order, wiring, room, siemens, source_V, volts, step
            )
            agreed = take(draw, cells, wiring, room, siemens, source_V, volts, step)
            draw.time_s = draw.time_s + step
            draw.left_s = draw.left_s - step
            advance_isolator(draw, p, sense_V, step)
            advance_controller(draw, p, hand.plugged_in, supply_V, step)
            turned = wanted != draw.isolator_wanted
            stands = agreed and not turned
            if settle(draw, p, hand, cells, order, wiring, room, siemens, source_V, volts, stands) or turned:
                begin_anew(draw, hand, cells)
            else:
                grow(draw, hand)
                draw.rate_per_s[COMMANDED] = (tap_V(wiring, volts, COMMAND) - command_V) / step
                draw.rate_per_s[BLOWN] = (draw.blower_fraction - blown) / step
                draw.rate_per_s[FANNED] = (draw.fan_fraction - fanned) / step
            margins(draw, p, hand, wiring, volts, draw.margin)
            steps -= 1
            solved = True
    if solved:
        spread(order, wiring, room, volts)
    return 0.0


def settle(
    draw: Any,
    p: Any,
    hand: Any,
    cells: Any,
    order: Any,
    wiring: Any,
    room: Any,
    siemens: Any,
    source_V: Any,
    volts: Any,
    solved: bool,
) -> bool:
    """Solve, unless that is done, and let relays and controllers follow until nothing moves; whether any did."""
    any_moved = False
    for turn in range(_SETTLINGS):
        if turn > 0 or not solved:
            lay(draw, p, hand, cells, wiring, volts, siemens, source_V)
            solve(draw, p, hand, order, wiring, room, siemens, source_V, volts, 0, 0, 0.0)
            draw.solved = True
        moved, again = _follow(draw, p, hand, wiring, siemens, volts)
        any_moved = any_moved or moved
        if not (moved or again):
            break
    speed, _, _ = brushed(
        max(tap_V(wiring, volts, BLOWER), 0.0),
        p.blower_resistance_ohm,
        p.blower_constant_V_per_rad_s,
        p.blower_fan_torque,
        p.blower_friction_Nm,
    )
    draw.blower_fraction = min(speed / p.blower_rated_rad_s, 1.3)
    demand = fan_demand(draw.fan_command_V, p.fan_start_command_V, p.fan_full_command_V, FAN_SLOWEST)
    draw.fan_fraction = demand * fan_gate(tap_V(wiring, volts, FAN), p.fan_minimum_V) * p.fan_health
    return any_moved


def _go(
    draw: Any,
    p: Any,
    hand: Any,
    cells: Any,
    k: Any,
    sun_W_per_m2: Any,
    order: Any,
    wiring: Any,
    room: Any,
    siemens: Any,
    source_V: Any,
    volts: Any,
    step: float,
) -> float:
    """Go one step, shorter than asked for if something switches on the way; the seconds it took."""
    ahead, longer_s, longer, watched = room.ahead, 0.0, 0.0, -1
    keep(draw, cells, wiring, room, siemens, source_V, volts)
    for trial in range(_TRIALS):
        if trial > 0:
            bring_back(draw, cells, room)
        attempt(draw, p, hand, cells, k, sun_W_per_m2, order, wiring, room, siemens, source_V, volts, step)
        margins(draw, p, hand, wiring, volts, ahead)
        number = passed(draw, ahead)
        if number < 0 or step <= LATE_S:
            break
        now = ahead[number]
        slope = (now - draw.margin[number]) / step
        if number == watched:
            # The slope where this trial ended, of the parabola through its ends and those of the one before.
            bent = slope + (longer - now) / (longer_s - step) - (longer - draw.margin[number]) / longer_s
            slope = bent if bent * slope > 0.0 else slope
        late_s = now / slope
        if late_s <= LATE_S:
            break
        longer_s, longer, watched = step, now, number
        step = max(step - late_s + 0.5 * LATE_S, 0.5 * LATE_S)
    note_rates(draw, ahead, step)
    return step


def _follow(draw: Any, p: Any, hand: Any, wiring: Any, siemens: Any, volts: Any) -> tuple[bool, bool]:
    """Whether a contact or controller moved, and whether a command that loads depend on did."""
    moved = follow_isolator(draw, p, tap_V(wiring, volts, SENSE))
    alive = tap_V(wiring, volts, PANEL) > p.panel_minimum_V
    moved = moved or alive != draw.panel_alive
    draw.panel_alive = alive
    asked = (
        alive
        and (engine_seen(wiring, draw, volts) or pressed(p, hand))
        and p.panel_blower_dead_step != hand.blower_step
    )
    decided, again = follow_controller(draw, p, hand, wiring, volts, asked)
    moved = moved or decided
    for i in range(len(wiring.coil)):
        # A coil pulls by its current: told here as the voltage that drives it through a sound coil.
        branch = wiring.coil[i]
        across = volts[wiring.first[branch]] - volts[wiring.second[branch]]
        coil_V = abs(siemens[branch] * across) * p.relay_coil_ohm[i]
        closed = coil_V > (p.relay_drop_out_V if draw.relay_closed[i] else p.relay_pull_in_V)
        closed = closed or p.relay_welded[i] > 0.5
        moved = moved or closed != draw.relay_closed[i]
        draw.relay_closed[i] = closed
    supply_V = tap_V(wiring, volts, DRIVE)
    enable_V, command_V = tap_V(wiring, volts, ENABLE), tap_V(wiring, volts, COMMAND)
    moved = follow_compressor(draw, p, hand.plugged_in, supply_V, enable_V, command_V) or moved
    fan_V = tap_V(wiring, volts, FAN_COMMANDED)
    again = again or abs(fan_V - draw.fan_command_V) > _COMMAND_V
    draw.fan_command_V = fan_V
    return moved, again
