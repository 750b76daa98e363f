"""What is left of a passive network once the nodes of no interest are removed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parked_hvac.circuit.fold import kept_voltages

Floats = NDArray[np.float64]


class _Left(NamedTuple):
    """What ``kept_voltages`` asks of an order, where only the kept nodes are left."""

    kept: NDArray[np.intp]
    kept_edge: NDArray[np.intp]
    ground_edge: NDArray[np.intp]


@dataclass(frozen=True)
class Reduced:
    """The kept nodes (k of them, in the order of ``keep``) and the conductances between them, B draws."""

    keep: tuple[str, ...]
    ground: str
    coupling_S: Floats  # (B, k, k) conductance between two kept nodes, zero on the diagonal
    ground_S: Floats  # (B, k) conductance from a kept node to ground
    injection_A: Floats  # (B, k) current into a kept node, that of removed nodes included
    _back: Callable[[Floats], dict[str, Floats]] = field(repr=False)

    @cached_property
    def matrix_S(self) -> Floats:
        """(B, k, k) nodal conductance matrix: matrix_S @ kept_V = injection_A, ground at 0 V."""
        matrix = -self.coupling_S
        k = len(self.keep)
        matrix[:, range(k), range(k)] = self.ground_S + self.coupling_S.sum(axis=2)
        return matrix

    def position(self, node: str) -> int | None:
        """Place of a node in ``keep``, None for the ground; ValueError for any other node."""
        if node == self.ground:
            return None
        if node not in self.keep:
            raise ValueError(f"Node {node!r} was not kept; the kept nodes are {', '.join(self.keep)}.")
        return self.keep.index(node)

    def with_branch(self, a: str, b: str, conductance_S: ArrayLike, current_A: ArrayLike = 0.0) -> Reduced:
        """The same network with one more branch: conductance (B,) >= 0, and a source current from a to b."""
        conductance = np.asarray(conductance_S, dtype=np.float64)
        if not np.all((conductance >= 0.0) & (conductance < np.inf)):
            raise ValueError(f"The branch from {a!r} to {b!r} has no finite conductance of 0 or more.")
        current = np.asarray(current_A, dtype=np.float64)
        i, j = self.position(a), self.position(b)
        coupling, to_ground, inflow = self.coupling_S.copy(), self.ground_S.copy(), self.injection_A.copy()
        if i is not None:
            inflow[:, i] -= current
        if j is not None:
            inflow[:, j] += current
        if i is not None and j is not None:
            if i != j:
                coupling[:, i, j] += conductance
                coupling[:, j, i] += conductance
        elif i is not None or j is not None:
            to_ground[:, i if i is not None else j] += conductance
        return replace(self, coupling_S=coupling, ground_S=to_ground, injection_A=inflow)

    def solve(self) -> Floats:
        """Voltages of the kept nodes (B, k), removing them one by one without a subtraction.

        Unlike a solve with ``matrix_S`` it keeps its digits when kept nodes float, held by the leak alone.
        """
        batch, k = self.ground_S.shape
        edge = np.concatenate([self.coupling_S.reshape(batch, k * k), self.ground_S], axis=1)
        stay = np.arange(k)
        order = _Left(kept=stay, kept_edge=np.arange(k * k), ground_edge=k * k + stay)
        voltage, room = np.zeros((batch, k)), np.zeros(k * (k + 1))
        for b in range(batch):
            kept_voltages(order, edge[b], self.injection_A[b].copy(), voltage[b], room, 1)
        return voltage

    def back(self, kept_V: ArrayLike) -> dict[str, Floats]:
        """Voltages (B,) of the removed nodes by name, from those of the kept nodes (B, k)."""
        kept = np.asarray(kept_V, dtype=np.float64)
        if kept.shape != self.ground_S.shape:
            raise ValueError(f"The kept voltages have shape {kept.shape}; give {self.ground_S.shape}.")
        return self._back(kept)
