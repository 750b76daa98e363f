"""Star-mesh folding of one draw in plain loops, which a kernel can compile.

``reduction.py`` finds the order in which nodes leave and says why it is done this way. ``fold`` removes the
nodes, ``kept_voltages`` solves what is left for any number of injections, ``unfold`` gives the removed nodes
their voltages. Everywhere positive numbers are added, multiplied and divided, so nothing cancels. ``order``
is anything with the fields of `Order`; rows may be lists as well as arrays.
"""

from __future__ import annotations

from typing import Any, NamedTuple

LEAK_S = 1e-12
"""Conductance in siemens from every node to ground, so that a floating group of nodes has a voltage.

It is 1/100000 of a 10 megohm meter; sixty nodes of it move a node behind 1 megohm by 0.006 %.
"""


class Order(NamedTuple):
    """How the nodes of a network leave, as rows of whole numbers."""

    branch_edge: Any  # (branches,) edge that each branch adds to
    ground_edge: Any  # (nodes,) edge from each node to ground
    pivot: Any  # (p,) nodes in the order in which they leave
    start: Any  # (p + 1,) where the spokes of each begin
    spoke_edge: Any  # (spokes,) their edges ...
    spoke_node: Any  # ... and the nodes at the other end; ground is the last number
    pair: Any  # (p,) where the pairs of spokes of each begin
    target: Any  # the edges that the pairs add to, in the order of the loops below
    kept: Any  # (k,) nodes that stay
    kept_edge: Any  # (k·k,) edge between two kept nodes; the one that stays zero where there is none
    edges: Any  # (1,) number of edges; one more stays zero


def fold(order: Any, conductance_S: Any, inflow_A: Any, edge: Any, weight: Any, offset: Any) -> None:
    """Remove every node that is not kept.

    conductance_S (branches,); inflow_A (nodes + 1,) is changed: what flows into the kept nodes stands there
    in the end. Filled in: edge (edges + 1,), weight (spokes,), offset (p,), which ``unfold`` takes.
    """
    for i in range(len(edge)):
        edge[i] = 0.0
    lay(order, range(len(order.branch_edge)), conductance_S, edge)
    leak(order, edge)
    # The sums of conductances stand where the offsets will.
    leave(order, range(len(order.pivot)), edge, weight, offset)
    carry(order, weight, offset, inflow_A, offset)


def lay(order: Any, which: Any, conductance_S: Any, edge: Any) -> None:
    """Add some of the branches to their edges."""
    branch_edge = order.branch_edge
    for w in range(len(which)):
        edge[branch_edge[which[w]]] += conductance_S[which[w]]


def leak(order: Any, edge: Any) -> None:
    """Add the leak from every node to ground."""
    ground_edge = order.ground_edge
    for i in range(len(ground_edge)):
        edge[ground_edge[i]] += LEAK_S


def leave(order: Any, which: Any, edge: Any, weight: Any, total_S: Any) -> None:
    """Some of the removed nodes, in their order, hand their conductances on to their neighbours.

    Filled in for them: weight, and total_S (p,), the sum of each one's conductances.
    """
    start, spoke_edge, pair, target = order.start, order.spoke_edge, order.pair, order.target
    for w in range(len(which)):
        i = which[w]
        begin, end, place = start[i], start[i + 1], pair[i]
        total = 0.0
        for s in range(begin, end):
            total += edge[spoke_edge[s]]
        total_S[i] = total
        per_S = 1.0 / total  # divided once: a division takes as long as four products
        for s in range(begin, end):
            share = edge[spoke_edge[s]] * per_S
            weight[s] = share
            for other in range(s + 1, end):
                edge[target[place]] += share * edge[spoke_edge[other]]
                place += 1


def carry(order: Any, weight: Any, total_S: Any, inflow_A: Any, offset: Any) -> None:
    """Hand the currents that flow into the removed nodes on to their neighbours; fills in offset (p,)."""
    start, pivot, spoke_node = order.start, order.pivot, order.spoke_node
    for i in range(len(pivot)):
        leaving = inflow_A[pivot[i]]
        # Most have no current to hand on, and need no division; total_S and offset may be the same row.
        offset[i] = leaving / total_S[i] if leaving != 0.0 else 0.0
        if leaving != 0.0:
            for s in range(start[i], start[i + 1]):
                inflow_A[spoke_node[s]] += weight[s] * leaving


def kept_voltages(order: Any, edge: Any, injection_A: Any, voltage_V: Any, coupling: Any, sets: int) -> None:
    """Voltages of the kept nodes for ``sets`` sets of injected currents, by folding them too.

    injection_A (sets·k,) is changed; voltage_V (sets·k,) is filled in; coupling (k·(k + 1),) is room to work.
    """
    kept, kept_edge, ground_edge = order.kept, order.kept_edge, order.ground_edge
    k = len(kept)
    width = k + 1
    for i in range(k):
        for j in range(k):
            coupling[i * width + j] = edge[kept_edge[i * k + j]]
        coupling[i * width + k] = edge[ground_edge[kept[i]]]
    for i in range(k):
        row = i * width
        total = coupling[row + k]
        for j in range(i + 1, k):
            total += coupling[row + j]
        for j in range(i + 1, k):
            share = coupling[row + j] / total
            for other in range(i + 1, width):
                if other != j:
                    coupling[j * width + other] += share * coupling[row + other]
            for s in range(sets):
                injection_A[s * k + j] += share * injection_A[s * k + i]
        coupling[row + i] = total
    for s in range(sets):
        for back in range(k):
            i = k - 1 - back
            sum_A = injection_A[s * k + i]
            for j in range(i + 1, k):
                sum_A += coupling[i * width + j] * voltage_V[s * k + j]
            voltage_V[s * k + i] = sum_A / coupling[i * width + i]


def unfold(order: Any, which: Any, weight: Any, offset: Any, voltage_V: Any) -> None:
    """Voltages of removed nodes, ``which`` in the order in which they left; voltage_V (nodes + 1,), ground 0 V.

    Those of the kept nodes stand there already, and what ``which`` leaves out no other may need.
    """
    start, pivot, spoke_node = order.start, order.pivot, order.spoke_node
    for back in range(len(which)):
        i = which[len(which) - 1 - back]
        found = offset[i]
        for s in range(start[i], start[i + 1]):
            found += weight[s] * voltage_V[spoke_node[s]]
        voltage_V[pivot[i]] = found
