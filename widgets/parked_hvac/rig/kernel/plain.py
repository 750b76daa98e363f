"""The kernel as it stands, for one draw or few: records become objects of plain numbers."""

from __future__ import annotations

import threading
from types import SimpleNamespace
from typing import Any

import numpy as np

from parked_hvac.circuit.fold import Order
from parked_hvac.rig.kernel.load import Load
from parked_hvac.rig.kernel.room import Room, room
from parked_hvac.rig.kernel.way import work
from parked_hvac.rig.kernel.wiring import Wiring, order, wiring


def run(load: Load) -> None:
    """Do the job for every draw of the load, one after the other."""
    hand, sun, k = _thing(load.hand[0]), load.sun_W_per_m2.tolist(), load.coefficients.tolist()
    how, where, space = _lists()
    for b in range(load.states.size):
        draw, p = _thing(load.states[b]), _thing(load.figures[b])
        cells = [_thing(cell) for cell in load.cells[b]]
        siemens, source_V = load.siemens[b].tolist(), load.source_V[b].tolist()
        volts = load.volts[b].tolist()
        load.probed_V[b] = work(
            load.job,
            load.seconds,
            load.times,
            load.steps,
            load.red,
            load.black,
            float(load.pushed_A[b]),
            draw,
            p,
            hand,
            cells,
            k,
            sun,
            how,
            where,
            space,
            siemens,
            source_V,
            volts,
        )
        load.states[b] = _row(load.states.dtype, draw)
        for i, cell in enumerate(cells):
            load.cells[b, i] = _row(load.cells.dtype, cell)
        load.siemens[b], load.source_V[b], load.volts[b] = siemens, source_V, volts


_own = threading.local()


def _lists() -> tuple[Order, Wiring, Room]:
    # The judge does a job again while the learner's meter goes on showing: in one room they would spoil each other's.
    if not hasattr(_own, "lists"):
        _own.lists = (
            Order(*(array.tolist() for array in order())),
            Wiring(*(array.tolist() for array in wiring())),
            Room(*(array.tolist() for array in room())),
        )
    lists: tuple[Order, Wiring, Room] = _own.lists
    return lists


def _thing(record: Any) -> SimpleNamespace:
    values = record.item()
    return SimpleNamespace(
        **{
            name: value.tolist() if isinstance(value, np.ndarray) else value
            for name, value in zip(record.dtype.names, values, strict=True)
        }
    )


def _row(kind: np.dtype[Any], thing: SimpleNamespace) -> tuple[Any, ...]:
    assert kind.names is not None
    return tuple(getattr(thing, name) for name in kind.names)
