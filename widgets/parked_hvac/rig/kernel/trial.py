"""One step tried out: batteries, speed, heat and water a moment later, and the voltages there.

What drives them is taken in the mean of the step, so that errors fall with the square of its length. A battery's
current is the mean of those at both ends, the end counting more the more of the surface charge's course lies within
the step: the wiring is solved with each battery as it answers to its current, so that batteries in parallel even out
and do not swing. The rest is carried on from how it moved. A step that turns out too long is taken back.
"""

from __future__ import annotations

from typing import Any

from parked_hvac.physics.scalar.battery import advance as advance_battery
from parked_hvac.physics.scalar.battery import end_share, ohmic_ohm
from parked_hvac.rig.kernel.branches import lay, tap_V
from parked_hvac.rig.kernel.climate import advance as advance_climate
from parked_hvac.rig.kernel.compressor import advance as advance_compressor
from parked_hvac.rig.kernel.compressor import advance_capacitor
from parked_hvac.rig.kernel.equilibrium import solve
from parked_hvac.rig.kernel.numbers import (
    BENDING,
    BUILDING,
    COMMAND,
    COMMANDED,
    DRIVE,
    FALLING,
    MOVING,
    SPEED,
)

_AGREED_V = 1e-3
CELL_ROWS, DRAW_ROWS = 5, 24
"""How much `keep` keeps of a battery, and of a draw beside its sensors and rates."""
_LAST_S = 21  # where it keeps the length of the step before


def keep(draw: Any, cells: Any, wiring: Any, room: Any, siemens: Any, source_V: Any, volts: Any) -> None:
    """Keep all that a step moves, and what drives it at its beginning."""
    for i in range(len(wiring.cell)):
        branch, cell = wiring.cell[i], cells[i]
        across = volts[wiring.first[branch]] - volts[wiring.second[branch]]
        # A branch current flows from + through the battery to −, so discharging is its negative.
        room.begin_A[i] = siemens[branch] * (source_V[branch] - across)
        at = CELL_ROWS * i
        room.kept_cell[at] = cell.state_of_charge
        room.kept_cell[at + 1] = cell.fast_V
        room.kept_cell[at + 2] = cell.slow_V
        room.kept_cell[at + 3] = cell.surface_V
        room.kept_cell[at + 4] = cell.draw_A
    room.begin_V[0], room.begin_V[1] = tap_V(wiring, volts, DRIVE), tap_V(wiring, volts, COMMAND)
    kept = room.kept
    kept[0], kept[1], kept[2] = draw.capacitor_V, draw.rpm, draw.hour
    kept[3], kept[4], kept[5] = draw.bunk_C, draw.mass_C, draw.humidity_ratio
    kept[6], kept[7], kept[8] = draw.surface_C, draw.condensing_C, draw.air_off_C
    kept[9], kept[10], kept[11] = draw.shaft_W, draw.cooling_W, draw.compressor_C
    kept[12], kept[13] = draw.ice_kg, draw.water_kg
    kept[14], kept[15] = draw.balance_surface_C, draw.balance_condensing_C
    kept[16], kept[17] = draw.spilled, draw.balanced
    kept[18], kept[19] = draw.vent_target_C, draw.supply_W_per_K
    kept[20], kept[21] = draw.condensate_kg_per_s, draw.last_s
    kept[22], kept[23] = draw.balance_shaft_W, draw.balance_vent_C
    for i in range(len(draw.sensor_C)):
        room.kept_C[i] = draw.sensor_C[i]
    for i in range(MOVING):
        room.kept_rate[i] = draw.rate_per_s[i]


def bring_back(draw: Any, cells: Any, room: Any) -> None:
    """Take a step back."""
    for i in range(len(cells)):
        _bring_back_cell(cells[i], room, i)
    kept = room.kept
    draw.capacitor_V, draw.rpm, draw.hour = kept[0], kept[1], kept[2]
    draw.bunk_C, draw.mass_C, draw.humidity_ratio = kept[3], kept[4], kept[5]
    draw.surface_C, draw.condensing_C, draw.air_off_C = kept[6], kept[7], kept[8]
    draw.shaft_W, draw.cooling_W, draw.compressor_C = kept[9], kept[10], kept[11]
    draw.ice_kg, draw.water_kg = kept[12], kept[13]
    draw.balance_surface_C, draw.balance_condensing_C = kept[14], kept[15]
    draw.spilled, draw.balanced = kept[16] > 0.5, kept[17] > 0.5
    draw.vent_target_C, draw.supply_W_per_K = kept[18], kept[19]
    draw.condensate_kg_per_s, draw.last_s = kept[20], kept[21]
    draw.balance_shaft_W, draw.balance_vent_C = kept[22], kept[23]
    for i in range(len(draw.sensor_C)):
        draw.sensor_C[i] = room.kept_C[i]
    for i in range(MOVING):
        draw.rate_per_s[i] = room.kept_rate[i]


def attempt(
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
    seconds: float,
) -> None:
    """Go the step and solve at its end, from what `keep` has kept; controllers and relays do not follow yet."""
    begin_V, rates = room.begin_V, draw.rate_per_s
    advance_capacitor(draw, p, begin_V[0], seconds)
    rpm = draw.rpm
    command_V = begin_V[1] + rates[COMMANDED] * seconds
    mean_rpm = advance_compressor(draw, p, hand.plugged_in, begin_V[1], command_V, seconds)
    rates[SPEED] = abs(draw.rpm - rpm) / seconds
    advance_climate(draw, p, hand, k, sun_W_per_m2, mean_rpm, seconds)
    share = end_share(cells[0], seconds)
    for i in range(len(cells)):
        cell = cells[i]
        foreseen_A = room.begin_A[i] + share * seconds * cell.current_A_per_s
        room.swing_ohm[i] = share * move_battery(cell, foreseen_A, seconds)
    lay(draw, p, hand, cells, wiring, volts, siemens, source_V)
    for i in range(len(cells)):
        # By its mean current the battery's source voltage ends off the one just laid, and that current is in part
        # the one that the wiring is about to tell.
        branch, end_A = wiring.cell[i], room.begin_A[i] + seconds * cells[i].current_A_per_s
        source_V[branch] += room.swing_ohm[i] * end_A
        siemens[branch] = 1.0 / (1.0 / siemens[branch] + room.swing_ohm[i])
    solve(draw, p, hand, order, wiring, room, siemens, source_V, volts, 0, 0, 0.0)


def take(
    draw: Any, cells: Any, wiring: Any, room: Any, siemens: Any, source_V: Any, volts: Any, seconds: float
) -> bool:
    """The step is taken: batteries go it with their mean current, and stand in the wiring as they are now.

    Whether the wiring as solved agrees with them; else it is to be solved again, as where a battery has turned
    from giving to taking.
    """
    falling_V_per_s, building_V_per_s, bending_V_per_s2, agreed = 0.0, 0.0, 0.0, True
    share, span_s2 = end_share(cells[0], seconds), 0.5 * seconds * (room.kept[_LAST_S] + seconds)
    for i in range(len(cells)):
        branch, cell = wiring.cell[i], cells[i]
        across = volts[wiring.first[branch]] - volts[wiring.second[branch]]
        current = siemens[branch] * (source_V[branch] - across)
        mean_A = room.begin_A[i] + share * (current - room.begin_A[i])
        foreseen_V = cell.surface_V
        unforeseen_A = abs(current - room.begin_A[i] - seconds * cell.current_A_per_s)
        _bring_back_cell(cell, room, i)
        surface = cell.surface_V
        move_battery(cell, mean_A, seconds)
        cell.current_A_per_s = (current - room.begin_A[i]) / seconds
        moved_V_per_s, ohm = abs(cell.surface_V - surface) / seconds, ohmic_ohm(cell, cell)
        if current < 0.0:
            building_V_per_s = max(building_V_per_s, moved_V_per_s)
            bending_V_per_s2 = max(bending_V_per_s2, unforeseen_A * ohm / span_s2)
        else:
            falling_V_per_s = max(falling_V_per_s, moved_V_per_s)
            if cell.surface_V > 0.0:
                falling_V_per_s = max(falling_V_per_s, ohm * current / cell.surface_build_s)
        siemens[branch] = 1.0 / ohm
        source_V[branch] = across + ohm * current
        # More than by the current that the trial did not foresee: the surface charge has gone another way.
        off_V = abs(cell.surface_V - foreseen_V) - share * unforeseen_A * ohm * seconds / cell.surface_build_s
        agreed = agreed and off_V < _AGREED_V
    draw.rate_per_s[FALLING] = falling_V_per_s
    draw.rate_per_s[BUILDING] = building_V_per_s
    draw.rate_per_s[BENDING] = bending_V_per_s2
    return bool(agreed)


def move_battery(cell: Any, current_A: float, seconds: float) -> float:
    """Let a battery give a steady current, or take one below 0; returns its swing, see ``battery.Moved``."""
    moved = advance_battery(cell, cell, current_A, seconds)
    cell.state_of_charge = moved.state_of_charge
    cell.fast_V = moved.fast_V
    cell.slow_V = moved.slow_V
    cell.surface_V = moved.surface_V
    cell.draw_A = moved.draw_A
    return float(moved.swing_ohm)


def _bring_back_cell(cell: Any, room: Any, number: int) -> None:
    at = CELL_ROWS * number
    cell.state_of_charge = room.kept_cell[at]
    cell.fast_V = room.kept_cell[at + 1]
    cell.slow_V = room.kept_cell[at + 2]
    cell.surface_V = room.kept_cell[at + 3]
    cell.draw_A = room.kept_cell[at + 4]
