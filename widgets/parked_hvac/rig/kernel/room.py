"""Room to work in for one draw at a time."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from parked_hvac.rig.kernel.numbers import LOADS
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
