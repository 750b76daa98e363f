"""Unit controller K0: what it sees at its pins, what it decides, what it puts on its outputs.

It knows only voltages at its own terminals. A sensor that lies, a supply that sags and a switch that is open
reach it through the wiring, as on a truck.
"""

from __future__ import annotations

import math
from typing import Any

from parked_hvac.physics.scalar.thermistor import temperature_C
from parked_hvac.rig.kernel.branches import tap_V
from parked_hvac.rig.kernel.compressor import can_turn, over_current
from parked_hvac.rig.kernel.numbers import (
    DRIVE_NO_TURN,
    DRIVE_OVER_CURRENT,
    HIGH_PRESSURE,
    LOW_VOLTAGE,
    SEEN_B1,
    SUPPLY,
    SWITCH,
    THERMAL_SWITCH,
)

_COLDEST_C, _HOTTEST_C = -40.0, 85.0  # what the controller believes
_FALLBACK_C = (3.0, 30.0, 35.0)  # B1, B2, B3: taken for a sensor that is not believed
_PRESSURE_PAUSE_S = 180.0
_NO_TURN_S = 5.0
_COLDEST_OUTSIDE_C = 5.0
_FULL_DEMAND_K = 1.5  # above the wanted temperature the compressor runs at full speed
COOLER_K, WARMER_K = -0.5, 0.5
"""Bunk against the wanted temperature: cooling ends at the first and begins at the second."""
_DEAD_KNOB_C = 28.0  # what a dead spot of the temperature knob asks for
_OUTPUT_V = 0.002  # a smaller move of an output waits for the next step
_SWITCH_OPEN_V = 1.5
_MOST_COUNTS = 126


def follow(draw: Any, p: Any, hand: Any, wiring: Any, volts: Any, asked: bool) -> tuple[bool, bool]:
    """Decide by the voltages at the pins; whether an on/off decision changed, and whether an output moved."""
    ran, cooled, was_alive = draw.running, draw.cooling, draw.alive
    speed_V, fan_V = draw.speed_V, draw.fan_V
    _wake(draw, p, tap_V(wiring, volts, SUPPLY))
    awake = draw.alive and draw.boot_s >= p.controller_boot_s - 1e-9
    draw.running = awake and asked and hand.blower_step > 0
    _read_sensors(draw, p, wiring, volts, awake)
    hot_S1 = tap_V(wiring, volts, SWITCH) > _SWITCH_OPEN_V
    _set(draw, THERMAL_SWITCH, draw.running and hot_S1)
    over = draw.running and draw.condensing_C > p.controller_high_pressure_C
    if over:
        draw.pause_s = _PRESSURE_PAUSE_S
    _set(draw, HIGH_PRESSURE, over or (draw.running and draw.pause_s > 0.0))
    evaporator, bunk, outside = draw.seen_C[0], draw.seen_C[1], draw.seen_C[2]
    draw.frozen = evaporator < (
        p.controller_evaporator_high_C if draw.frozen else p.controller_evaporator_low_C
    )
    warm = bunk - wanted_C(p, hand)
    draw.thermostat = warm > (COOLER_K if draw.thermostat else WARMER_K)
    ready = not (draw.cut_out or draw.locked or hot_S1 or draw.pause_s > 0.0 or draw.frozen)
    draw.cooling = draw.running and ready and draw.thermostat and outside > _COLDEST_OUTSIDE_C
    draw.speed_V = 0.0
    if draw.cooling and p.controller_no_drive_command < 0.5:
        draw.speed_V = 0.5 + 4.0 * min(max(warm / _FULL_DEMAND_K, 0.0), 1.0)
    draw.fan_V = 0.0
    if draw.running and p.controller_no_fan_command < 0.5 and (draw.cooling or draw.pause_s > 0.0):
        share = min(max((outside - 12.0) / 18.0, 0.15), 1.0)
        lowest = p.fan_start_command_V + 0.15
        draw.fan_V = lowest + share * (4.5 - lowest)
    draw.door_V = 0.5 if draw.running else 0.0
    moved = draw.alive != was_alive or draw.running != ran or draw.cooling != cooled
    again = max(abs(draw.speed_V - speed_V), abs(draw.fan_V - fan_V)) > _OUTPUT_V
    return bool(moved), bool(again)


def advance(draw: Any, p: Any, plugged_in: bool, supply_V: float, seconds: float) -> None:
    """Run the delays over a step in which the supply held this voltage and nothing was decided."""
    draw.boot_s = draw.boot_s + seconds if draw.alive else 0.0
    draw.pause_s = max(draw.pause_s - seconds, 0.0)
    _watch_supply(draw, p, supply_V, seconds)
    _watch_drive(draw, p, plugged_in, seconds)


def wanted_C(p: Any, hand: Any) -> float:
    """The bunk temperature that the panel asks for."""
    return _DEAD_KNOB_C if p.panel_temperature_dead > 0.5 else float(hand.set_temperature_C)


def next_event_s(draw: Any, p: Any, supply_V: float) -> float:
    """Seconds until a delay ends that runs at this supply voltage, inf where none runs."""
    soonest = math.inf
    if draw.alive and draw.boot_s < p.controller_boot_s:
        soonest = p.controller_boot_s - draw.boot_s
    if draw.running and not draw.cut_out and supply_V < p.controller_cut_out_V:
        soonest = min(soonest, p.controller_cut_out_delay_s - draw.low_s)
    if draw.cut_out and supply_V > p.controller_restart_V:
        soonest = min(soonest, p.controller_restart_delay_s - draw.good_s)
    if draw.pause_s > 0.0:
        soonest = min(soonest, draw.pause_s)
    if 0.0 < draw.still_s < _NO_TURN_S:
        soonest = min(soonest, _NO_TURN_S - draw.still_s)
    return soonest


def _wake(draw: Any, p: Any, supply_V: float) -> None:
    """Wake or die with the supply."""
    alive = supply_V > p.controller_minimum_V and p.controller_dead < 0.5
    if draw.alive and not alive:
        draw.cut_out = draw.locked = draw.frozen = draw.thermostat = False
        draw.boot_s = draw.low_s = draw.good_s = draw.still_s = draw.pause_s = 0.0
        draw.stops = 0
        for i in range(len(draw.active)):
            draw.active[i] = False
    draw.alive = alive


def _read_sensors(draw: Any, p: Any, wiring: Any, volts: Any, awake: bool) -> None:
    for i in range(len(draw.seen_C)):
        seen = measured_C(p, wiring, volts, i)
        too_cold, too_hot = seen < _COLDEST_C, seen > _HOTTEST_C
        _set(draw, 2 * i, awake and too_cold)
        _set(draw, 2 * i + 1, awake and too_hot)
        if not awake:
            draw.seen_C[i] = math.nan
        else:
            draw.seen_C[i] = _FALLBACK_C[i] if too_cold or too_hot else seen


def measured_C(p: Any, wiring: Any, volts: Any, number: int) -> float:
    """The temperature that a sensor's pin tells, believed or not."""
    share = tap_V(wiring, volts, SEEN_B1 + number) / p.controller_reference_V
    share = min(max(share, 1e-6), 1.0 - 1e-6)
    ohm = p.controller_pull_up_ohm * share / (1.0 - share)
    return temperature_C(ohm, p.curve_a[number], p.curve_b[number], p.curve_c[number])


def _watch_supply(draw: Any, p: Any, supply_V: float, seconds: float) -> None:
    low = draw.running and supply_V < p.controller_cut_out_V
    draw.low_s = draw.low_s + seconds if low and not draw.cut_out else 0.0
    stops = draw.low_s >= p.controller_cut_out_delay_s - 1e-9
    _set(draw, LOW_VOLTAGE, stops)
    draw.active[LOW_VOLTAGE] = False  # a moment, not a state
    if stops:
        draw.stops = draw.stops + 1
        draw.low_s = 0.0
    good = draw.cut_out and supply_V > p.controller_restart_V
    draw.good_s = draw.good_s + seconds if good else 0.0
    restarts = draw.good_s >= p.controller_restart_delay_s - 1e-9
    draw.cut_out = (draw.cut_out or stops) and not restarts and draw.running
    draw.locked = (draw.locked or draw.stops >= p.controller_lockout_starts) and draw.running
    if not draw.running:
        draw.stops = 0


def _watch_drive(draw: Any, p: Any, plugged_in: bool, seconds: float) -> None:
    commanded = draw.cooling and draw.speed_V > 0.0
    still = commanded and not (draw.driving and can_turn(p, plugged_in))
    draw.still_s = draw.still_s + seconds if still else 0.0
    _set(draw, DRIVE_NO_TURN, draw.still_s >= _NO_TURN_S)
    _set(draw, DRIVE_OVER_CURRENT, commanded and over_current(p, plugged_in))


def _set(draw: Any, code: int, active: bool) -> None:
    """Count a code each time it becomes active."""
    if active and not draw.active[code]:
        draw.counts[code] = min(draw.counts[code] + 1, _MOST_COUNTS)
    draw.active[code] = active
