"""A job for many draws, one after the other: the outermost loop of what is compiled."""

from __future__ import annotations

from typing import Any

from parked_hvac.rig.kernel.way import work


def run(
    begin: int,
    end: int,
    job: int,
    seconds: float,
    times: int,
    steps: int,
    red: int,
    black: int,
    pushed_A: Any,
    probed_V: Any,
    states: Any,
    figures: Any,
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
) -> None:
    """``way.work`` for the draws from ``begin`` to before ``end``."""
    for b in range(begin, end):
        probed_V[b] = work(
            job,
            seconds,
            times,
            steps,
            red,
            black,
            pushed_A[b],
            states[b],
            figures[b],
            hand[0],
            cells[b],
            k,
            sun_W_per_m2,
            order[0],
            wiring[0],
            room[0],
            siemens[b],
            source_V[b],
            volts[b],
        )
