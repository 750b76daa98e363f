"""Fold a large passive network into the few nodes that matter, for many parameter draws at once.

A node of a resistor network can be removed by joining each two of its neighbours with
``g_i g_j / sum(g)`` (star-mesh transform: A. Rosen, "A new network theorem", J. IEE 62, 1924).
Every step multiplies, divides and adds numbers that are not negative, so nothing cancels: a
1e-9 S leak beside a 1e4 S cable keeps all its digits, where elimination by subtraction loses them
(W. K. Grassmann, M. I. Taksar, D. P. Heyman, Oper. Res. 33, 1985, the same point for Markov chains).

The order of removal depends only on which nodes are joined. ``Reduction.plan`` finds it once;
``reduce`` then runs a few array operations for any number of draws. Nodes whose neighbourhoods do
not overlap leave in one step, so a step writes each row once and needs no loop over nodes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parked_hvac.circuit.reduced import Reduced

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

LEAK_S = 1e-12
"""Conductance in siemens from every node to ground, so that a floating group of nodes has a voltage.

It is 1/100000 of a 10 megohm meter; sixty nodes of it move a node behind 1 megohm by 0.006 %.
"""


@dataclass(frozen=True)
class _Step:
    """Nodes that leave together; ``d`` is the largest number of neighbours, ``p`` the number of nodes."""

    pivots: Indices  # (p,) nodes that leave
    edges: Indices  # (d, p) rows of their edges, padded with the row that stays zero
    neighbours: Indices  # (d, p) nodes at the other end, padded with ground
    left: Indices  # (q,) positions in ``edges`` (flat) of the two edges whose product ...
    right: Indices
    target: Indices  # (q,) ... is added to this edge


@dataclass(frozen=True)
class Reduction:
    """The order in which nodes leave a network of given shape; make one with ``Reduction.plan``."""

    keep: tuple[str, ...]
    nodes: tuple[str, ...]  # all but ground; the index of ground is len(nodes)
    ground: str
    n_branches: int
    _index: Mapping[str, int]
    _first: Indices  # branches that are the first between their two nodes ...
    _first_edges: Indices  # ... and their edge rows
    _again: tuple[tuple[int, int], ...]  # (branch, edge row) of the others
    _n_edges: int  # the row after the last stays zero
    _ground_edges: Indices  # (n_nodes,) edge row from each node to ground
    _steps: tuple[_Step, ...]
    _removed: tuple[tuple[str, int], ...]  # every other node and its index
    _kept: Indices  # (k,) node index of each kept node
    _kept_pairs: tuple[Indices, Indices, Indices]  # position i and j in keep, and their edge row

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
        batch = given.shape[1]
        edge = np.zeros((self._n_edges + 1, batch))
        edge[self._first_edges] = given[self._first]
        for branch, row in self._again:
            edge[row] += given[branch]
        edge[self._ground_edges] += LEAK_S
        inflow = self._inflow(injection_A, batch)
        weights: list[Floats] = []
        offsets: list[Floats] = []
        for step in self._steps:
            spoke = edge.take(step.edges, axis=0)  # (d, p, B)
            total = spoke.sum(axis=0)
            weight = spoke / total
            flat = (-1, batch)
            product = weight.reshape(flat).take(step.left, axis=0)
            product *= spoke.reshape(flat).take(step.right, axis=0)
            edge[step.target] += product
            weights.append(weight)
            if inflow is not None:
                leaving = inflow.take(step.pivots, axis=0)
                # Only the ground row is written more than once, and nobody reads it.
                inflow[step.neighbours] += weight * leaving
                offsets.append(leaving / total)
        return self._reduced(edge, inflow, weights, offsets)

    def _reduced(
        self, edge: Floats, inflow: Floats | None, weights: list[Floats], offsets: list[Floats]
    ) -> Reduced:
        k, batch = len(self.keep), edge.shape[1]
        first, second, row = self._kept_pairs
        coupling = np.zeros((batch, k, k))
        coupling[:, first, second] = coupling[:, second, first] = edge[row].T
        to_ground = edge[self._ground_edges[self._kept]].T
        kept_inflow = np.zeros((batch, k)) if inflow is None else inflow[self._kept].T
        return Reduced(
            keep=self.keep,
            ground=self.ground,
            coupling_S=coupling,
            ground_S=np.ascontiguousarray(to_ground),
            injection_A=np.ascontiguousarray(kept_inflow),
            _back=lambda kept: self._back(kept, weights, offsets),
        )

    def _back(self, kept_V: Floats, weights: list[Floats], offsets: list[Floats]) -> dict[str, Floats]:
        voltage = np.zeros((len(self.nodes) + 1, kept_V.shape[0]))
        voltage[self._kept] = kept_V.T
        for number in range(len(self._steps) - 1, -1, -1):
            step = self._steps[number]
            found = (weights[number] * voltage.take(step.neighbours, axis=0)).sum(axis=0)
            voltage[step.pivots] = found + offsets[number] if offsets else found
        return {node: voltage[index] for node, index in self._removed}

    def _checked(self, conductance_S: ArrayLike) -> Floats:
        given = np.asarray(conductance_S, dtype=np.float64)
        if given.ndim != 2 or given.shape[0] != self.n_branches or given.shape[1] == 0:
            raise ValueError(
                f"The conductances have shape {given.shape}; give ({self.n_branches}, B), one row per branch."
            )
        # One comparison each way also catches NaN, which compares false.
        if given.size and not (given.min() >= 0.0 and given.max() < np.inf):
            branch, draw = np.argwhere(~((given >= 0.0) & (given < np.inf)))[0]
            raise ValueError(
                f"Branch {branch} has {given[branch, draw]} S in draw {draw};"
                " give a finite conductance of 0 or more."
            )
        return given

    def _inflow(self, injection_A: Mapping[str, ArrayLike] | None, batch: int) -> Floats | None:
        if not injection_A:
            return None
        inflow = np.zeros((len(self.nodes) + 1, batch))
        for node, current in injection_A.items():
            if node == self.ground:
                continue
            if node not in self._index:
                raise ValueError(f"The current into {node!r} has nowhere to go: no branch ends at that node.")
            inflow[self._index[node]] += current
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
    branch_rows = []
    for a, b in branches:
        i, j = names.get(a, n), names.get(b, n)
        branch_rows.append(row(i, j))
        if n not in (i, j):
            around[i].add(j)
            around[j].add(i)
    ground_rows = [row(i, n) for i in range(n)]
    kept = {names[node] for node in keep}
    remaining = set(range(n)) - kept
    chosen: list[tuple[list[int], list[list[int]]]] = []
    while remaining:
        pivots = _independent(remaining, around)
        spokes = [[*sorted(around[p]), n] for p in pivots]
        chosen.append((pivots, spokes))
        remaining.difference_update(pivots)
        for pivot, ends in zip(pivots, spokes, strict=True):
            for i, j in combinations(ends, 2):
                row(i, j)
                if j != n:
                    around[i].add(j)
                    around[j].add(i)
            for i in ends[:-1]:
                around[i].discard(pivot)
    zero = len(rows)
    pairs = [(i, j, rows[key]) for i, j, key in _pairs([names[node] for node in keep]) if key in rows]
    first, second, edge = (_array([pair[c] for pair in pairs]) for c in range(3))
    return Reduction(
        keep=keep,
        nodes=tuple(names),
        ground=ground,
        n_branches=len(branches),
        _index=names,
        _first=_array(
            [branch for branch, edge in enumerate(branch_rows) if edge not in branch_rows[:branch]]
        ),
        _first_edges=_array(list(dict.fromkeys(branch_rows))),
        _again=tuple((b, edge) for b, edge in enumerate(branch_rows) if edge in branch_rows[:b]),
        _n_edges=zero,
        _ground_edges=_array(ground_rows),
        _steps=tuple(_step(pivots, spokes, rows, zero, n) for pivots, spokes in chosen),
        _removed=tuple((node, index) for node, index in names.items() if index not in kept),
        _kept=_array([names[node] for node in keep]),
        _kept_pairs=(first, second, edge),
    )


def _check_keep(keep: tuple[str, ...], names: Mapping[str, int], ground: str) -> None:
    for node in keep:
        if node == ground:
            raise ValueError(f"The ground {node!r} is always kept; leave it out of keep.")
        if node not in names:
            raise ValueError(f"Node {node!r} cannot be kept: no branch ends at it.")
        if keep.count(node) > 1:
            raise ValueError(f"Node {node!r} is named twice in keep; name it once.")


def _independent(remaining: set[int], around: list[set[int]]) -> list[int]:
    """Nodes to remove together: few neighbours, and no node in two of the neighbourhoods."""
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


def _step(
    pivots: list[int], spokes: list[list[int]], rows: Mapping[tuple[int, int], int], zero: int, ground: int
) -> _Step:
    depth, width = max(map(len, spokes)), len(pivots)
    edges = np.full((depth, width), zero, dtype=np.intp)
    neighbours = np.full((depth, width), ground, dtype=np.intp)
    left, right, target = [], [], []
    for column, (pivot, ends) in enumerate(zip(pivots, spokes, strict=True)):
        for level, end in enumerate(ends):
            edges[level, column] = rows[(pivot, end) if pivot < end else (end, pivot)]
            neighbours[level, column] = end
        for (i, low), (j, high) in combinations(enumerate(ends), 2):
            left.append(i * width + column)
            right.append(j * width + column)
            target.append(rows[(low, high)])
    return _Step(_array(pivots), edges, neighbours, _array(left), _array(right), _array(target))


def _pairs(kept: list[int]) -> list[tuple[int, int, tuple[int, int]]]:
    return [(i, j, (min(a, b), max(a, b))) for (i, a), (j, b) in combinations(enumerate(kept), 2)]


def _array(values: Sequence[int]) -> Indices:
    return np.asarray(values, dtype=np.intp)
