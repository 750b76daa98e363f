"""Room to work in for one draw at a time."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from parked_hvac.rig.kernel.numbers import LOADS, MOVING, SWITCHING_POINTS
from parked_hvac.rig.kernel.records import SENSORS
from parked_hvac.rig.kernel.trial import CELL_ROWS, DRAW_ROWS
from parked_hvac.rig.kernel.wiring import order, wiring


class Room(NamedTuple):
    """Rows that an equilibrium fills in; see kernel/refold.py and kernel/loads.py."""

    edge: Any
    lasting: Any  # edges once the nodes that stand have left
    laid: Any  # conductances of the switched branches for which they stand
    known: Any  # (1,) above 0 once they do
    weight: Any
    total: Any
    offset: Any
    inflow: Any
    volts: Any
    begin_A: Any  # at the beginning of a step, see kernel/trial.py
    swing_ohm: Any  # of each battery: what one ampere more at the end of a step takes off there, V
    begin_V: Any
    kept: Any
    kept_cell: Any
    kept_C: Any
    kept_rate: Any
    ahead: Any  # margins at the end of a step
    injection: Any
    port_V: Any
    coupling: Any
    open_V: Any
    resistance: Any
    across: Any
    taken_A: Any
    matrix: Any


def room() -> Room:
    """Empty room; each thread needs its own."""
    how = order()
    ports, loads = how.kept.size, len(LOADS)
    nodes = int(max(wiring().first.max(), wiring().second.max())) + 1
    cells = wiring().cell.size
    edges = int(how.edges[0]) + 1
    shapes = (
        edges,
        edges,
        wiring().switched.size,
        1,
        how.spoke_edge.size,
        how.pivot.size,
        how.pivot.size,
        nodes,
        nodes,
        cells,
        cells,
        2,
        DRAW_ROWS,
        CELL_ROWS * cells,
        SENSORS,
        MOVING,
        SWITCHING_POINTS,
        (1 + loads) * ports,
        (1 + loads) * ports,
        ports * (ports + 1),
        loads,
        loads * loads,
        loads,
        loads,
        loads * (loads + 1),
    )
    return Room(*(np.zeros(shape) for shape in shapes))
