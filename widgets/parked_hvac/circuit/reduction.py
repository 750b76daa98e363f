"""Fold a large passive network into the few nodes that matter, for many parameter draws at once.

A node of a resistor network can be removed by joining each two of its neighbours with
``g_i g_j / sum(g)`` (star-mesh transform: A. Rosen, "A new network theorem", J. IEE 62, 1924).
Every step multiplies, divides and adds numbers that are not negative, so nothing cancels: a
1e-9 S leak beside a 1e4 S cable keeps all its digits, where elimination by subtraction loses them
(W. K. Grassmann, M. I. Taksar, D. P. Heyman, Oper. Res. 33, 1985, the same point for Markov chains).

The order of removal depends only on which nodes are joined. ``Reduction.plan`` finds it once; ``fold.py``
then removes the nodes of one draw after the other, here or in a kernel that is compiled.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parked_hvac.circuit.fold import Order, fold, unfold
from parked_hvac.circuit.reduced import Reduced

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Reduction:
    """The order in which nodes leave a network of given shape; make one with ``Reduction.plan``."""

    keep: tuple[str, ...]
    nodes: tuple[str, ...]  # all but ground; the index of ground is len(nodes)
    ground: str
    order: Order
    _index: Mapping[str, int]

    @staticmethod
    def plan(branches: Sequence[tuple[str, str]], keep: Sequence[str], ground: str) -> Reduction:
        """Choose the order of removal, fewest neighbours first, for branches given as pairs of nodes.

        Branches between the same two nodes add up. Raises ValueError for a branch from a node to itself
        and for a kept node that is the ground, named twice or on no branch.
        """
        return _plan(branches, tuple(keep), ground)

    def reduce(self, conductance_S: ArrayLike, injection_A: Mapping[str, ArrayLike] | None = None) -> Reduced:
        """Remove every node that is not kept.

        conductance_S: (n_branches, B), each >= 0; 0 is an open branch. injection_A: currents flowing into
        nodes from outside, each (B,) or a number. Raises ValueError for a wrong shape, an unknown node
        and a conductance that is negative or not finite.
        """
        given = self._checked(conductance_S)
        order, batch, k = self.order, given.shape[1], len(self.keep)
        inflow = self._inflow(injection_A, batch)
        edge = np.zeros((batch, int(order.edges[0]) + 1))
        weight, offset = np.zeros((batch, order.spoke_edge.size)), np.zeros((batch, order.pivot.size))
        for b in range(batch):
            fold(order, given[:, b], inflow[b], edge[b], weight[b], offset[b])
        return Reduced(
            keep=self.keep,
            ground=self.ground,
            coupling_S=edge[:, order.kept_edge].reshape(batch, k, k),
            ground_S=edge[:, order.ground_edge[order.kept]],
            injection_A=inflow[:, order.kept],
            _back=lambda kept: self._back(kept, weight, offset),
        )

    def _back(self, kept_V: Floats, weight: Floats, offset: Floats) -> dict[str, Floats]:
        voltage = np.zeros((kept_V.shape[0], len(self.nodes) + 1))
        voltage[:, self.order.kept] = kept_V
        for b in range(kept_V.shape[0]):
            unfold(self.order, range(self.order.pivot.size), weight[b], offset[b], voltage[b])
        return {self.nodes[index]: voltage[:, index] for index in self.order.pivot}

    def _checked(self, conductance_S: ArrayLike) -> Floats:
        given = np.asarray(conductance_S, dtype=np.float64)
        branches = self.order.branch_edge.size
        if given.ndim != 2 or given.shape[0] != branches or given.shape[1] == 0:
            raise ValueError(
                f"The conductances have shape {given.shape}; give ({branches}, B), one row per branch."
            )
        # One comparison each way also catches NaN, which compares false.
        if given.size and not (given.min() >= 0.0 and given.max() < np.inf):
            branch, draw = np.argwhere(~((given >= 0.0) & (given < np.inf)))[0]
            raise ValueError(
                f"Branch {branch} has {given[branch, draw]} S in draw {draw};"
                " give a finite conductance of 0 or more."
            )
        return given

    def _inflow(self, injection_A: Mapping[str, ArrayLike] | None, batch: int) -> Floats:
        inflow = np.zeros((batch, len(self.nodes) + 1))
        for node, current in (injection_A or {}).items():
            if node == self.ground:
                continue
            if node not in self._index:
                raise ValueError(f"The current into {node!r} has nowhere to go: no branch ends at that node.")
            inflow[:, self._index[node]] += np.asarray(current, dtype=np.float64)
        return inflow


def _plan(branches: Sequence[tuple[str, str]], keep: tuple[str, ...], ground: str) -> Reduction:
    names: dict[str, int] = {}
    for number, (a, b) in enumerate(branches):
        if a == b:
            raise ValueError(f"Branch {number} joins node {a!r} to itself; leave it out.")
        for node in (a, b):
            if node != ground:
                names.setdefault(node, len(names))
    _check_keep(keep, names, ground)
    n = len(names)  # also the index of ground
    rows: dict[tuple[int, int], int] = {}

    def row(i: int, j: int) -> int:
        return rows.setdefault((i, j) if i < j else (j, i), len(rows))

    around: list[set[int]] = [
        set() for _ in range(n)
    ]  # neighbours other than ground, shrinking as nodes leave
    branch_edge = []
    for a, b in branches:
        i, j = names.get(a, n), names.get(b, n)
        branch_edge.append(row(i, j))
        if n not in (i, j):
            around[i].add(j)
            around[j].add(i)
    ground_edge = [row(i, n) for i in range(n)]
    kept = [names[node] for node in keep]
    remaining = set(range(n)) - set(kept)
    pivots: list[int] = []
    start, spoke_edge, spoke_node = [0], [], []
    pair: list[int] = []
    target: list[int] = []
    while remaining:
        leaving = _independent(remaining, around)
        remaining.difference_update(leaving)
        for pivot in leaving:
            ends = [*sorted(around[pivot]), n]
            spoke_edge += [row(pivot, end) for end in ends]
            spoke_node += ends
            pair.append(len(target))
            target += [row(i, j) for i, j in combinations(ends, 2)]
            pivots.append(pivot)
            start.append(len(spoke_node))
            for i, j in combinations(ends[:-1], 2):
                around[i].add(j)
                around[j].add(i)
            for i in ends[:-1]:
                around[i].discard(pivot)
    zero = len(rows)  # an edge that stays zero stands for those that are not there
    kept_edge = [rows.get((min(i, j), max(i, j)), zero) for i in kept for j in kept]
    order = Order(
        *(
            np.asarray(values, dtype=np.int64)
            for values in (
                branch_edge,
                ground_edge,
                pivots,
                start,
                spoke_edge,
                spoke_node,
                pair,
                target,
                kept,
                kept_edge,
                [zero],
            )
        )
    )
    return Reduction(keep=keep, nodes=tuple(names), ground=ground, order=order, _index=names)


def _check_keep(keep: tuple[str, ...], names: Mapping[str, int], ground: str) -> None:
    for node in keep:
        if node == ground:
            raise ValueError(f"The ground {node!r} is always kept; leave it out of keep.")
        if node not in names:
            raise ValueError(f"Node {node!r} cannot be kept: no branch ends at it.")
        if keep.count(node) > 1:
            raise ValueError(f"Node {node!r} is named twice in keep; name it once.")


def _independent(remaining: set[int], around: list[set[int]]) -> list[int]:
    """Nodes to remove next: few neighbours, and no node in two of the neighbourhoods."""
    # Removing a node of one or two neighbours never adds branches, so those need not wait for each other.
    limit = max(2, min(len(around[node]) for node in remaining))
    touched: set[int] = set()
    pivots = []
    for node in sorted(remaining, key=lambda node: (len(around[node]), node)):
        if len(around[node]) > limit:
            break
        if node not in touched and touched.isdisjoint(around[node]):
            pivots.append(node)
            touched |= around[node] | {node}
    return pivots
