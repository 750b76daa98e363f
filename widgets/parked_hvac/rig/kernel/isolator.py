"""Battery isolator Q1: joins the banks while the start bank is being charged."""

from __future__ import annotations

import math
from typing import Any

_ALIVE_V = 6.0  # below it the isolator's controller and coil give up; common practice, no source


def follow(draw: Any, p: Any, sense_V: float) -> bool:
    """Let the contactor follow its coil at this sense voltage; whether a contact moved."""
    held = draw.isolator_wanted and sense_V > (p.relay_drop_out_V if draw.isolator_closed else _ALIVE_V)
    closed = (held and p.isolator_stuck_open <= 0.5) or p.isolator_stuck_closed > 0.5
    moved = closed != draw.isolator_closed
    draw.isolator_closed = closed
    return bool(moved)


def advance(draw: Any, p: Any, sense_V: float, seconds: float) -> None:
    """Run the two delays over a step in which the sense lead held this voltage."""
    alive = sense_V > _ALIVE_V
    charging = alive and sense_V > p.isolator_close_V
    draw.rising_s = draw.rising_s + seconds if charging else 0.0
    draw.falling_s = draw.falling_s + seconds if sense_V < p.isolator_open_V else 0.0
    if draw.falling_s >= p.isolator_open_delay_s - 1e-9 or not alive:
        draw.isolator_wanted = False
    elif draw.rising_s >= p.isolator_close_delay_s - 1e-9:
        draw.isolator_wanted = True


def next_event_s(draw: Any, p: Any, sense_V: float) -> float:
    """Seconds until a delay ends that runs at this sense voltage, inf where none runs."""
    if not draw.isolator_wanted and sense_V > p.isolator_close_V:
        return float(p.isolator_close_delay_s - draw.rising_s)
    if draw.isolator_wanted and sense_V < p.isolator_open_V:
        return float(p.isolator_open_delay_s - draw.falling_s)
    return math.inf
