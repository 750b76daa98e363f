"""The wiring folded anew where it moved: what holds still between two moments is folded once.

While time passes only batteries and sensors change their conductance at every step; contacts move now and then, cables
never. A node whose neighbourhood holds still leaves with the same shares as before, so that two thirds of the
wiring are folded again only when a contact has moved. See circuit/fold.py for the folding itself.
"""

from __future__ import annotations

from typing import Any

from parked_hvac.circuit.fold import LEAK_S


def forget(room: Any) -> None:
    """Another draw, or hands have moved something: nothing is known to hold still."""
    room.known[0] = 0.0


def fold(order: Any, wiring: Any, room: Any, siemens: Any, inflow: Any) -> None:
    """Remove every node that is not kept; as ``circuit.fold.fold``, with ``room`` for what it fills in."""
    edge, lasting = room.edge, room.lasting
    if not _holds(wiring.switched, siemens, room.laid, room.known):
        for i in range(len(lasting)):
            lasting[i] = 0.0
        _lay(order.branch_edge, wiring.lasting, siemens, lasting)
        for i in range(len(order.ground_edge)):
            lasting[order.ground_edge[i]] += LEAK_S
        _leave(order, wiring.pair, wiring.standing, lasting, room.weight, room.total)
    for i in range(len(edge)):
        edge[i] = lasting[i]
    _lay(order.branch_edge, wiring.moving_branch, siemens, edge)
    _leave(order, wiring.pair, wiring.moving, edge, room.weight, room.total)
    _carry(order, room.weight, room.total, inflow, room.offset)


def unfold(order: Any, which: Any, weight: Any, offset: Any, volts: Any) -> None:
    """Voltages of some of the removed nodes, ``which`` in the order in which they left; as ``circuit.fold.unfold``."""
    start, pivot, spoke_node = order.start, order.pivot, order.spoke_node
    for back in range(len(which)):
        i = which[len(which) - 1 - back]
        found = offset[i]
        for s in range(start[i], start[i + 1]):
            found += weight[s] * volts[spoke_node[s]]
        volts[pivot[i]] = found


def _holds(switched: Any, siemens: Any, laid: Any, known: Any) -> bool:
    """Whether all is as it was folded last; notes how it is now."""
    same = bool(known[0] > 0.0)
    known[0] = 1.0
    for i in range(len(switched)):
        now = siemens[switched[i]]
        same = bool(same and now == laid[i])
        laid[i] = now
    return same


def _lay(branch_edge: Any, branches: Any, siemens: Any, edge: Any) -> None:
    for i in range(len(branches)):
        edge[branch_edge[branches[i]]] += siemens[branches[i]]


def _leave(order: Any, pair: Any, which: Any, edge: Any, weight: Any, total: Any) -> None:
    start, spoke_edge, target = order.start, order.spoke_edge, order.target
    for w in range(len(which)):
        i = which[w]
        begin, end, place = start[i], start[i + 1], pair[i]
        sum_S = 0.0
        for s in range(begin, end):
            sum_S += edge[spoke_edge[s]]
        total[i] = sum_S
        for s in range(begin, end):
            share = edge[spoke_edge[s]] / sum_S
            weight[s] = share
            for other in range(s + 1, end):
                edge[target[place]] += share * edge[spoke_edge[other]]
                place += 1


def _carry(order: Any, weight: Any, total: Any, inflow: Any, offset: Any) -> None:
    """Hand the currents that flow into the removed nodes on to their neighbours."""
    start, pivot, spoke_node = order.start, order.pivot, order.spoke_node
    for i in range(len(pivot)):
        leaving = inflow[pivot[i]]
        offset[i] = leaving / total[i]
        if leaving != 0.0:
            for s in range(start[i], start[i + 1]):
                inflow[spoke_node[s]] += weight[s] * leaving
