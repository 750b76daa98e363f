"""Nodal analysis in exact fractions: slow, and free of rounding, so that it can judge what rounds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

Branch = tuple[str, str, float | Fraction]  # node, node, conductance in S


def voltages(
    branches: Sequence[Branch], injection_A: Mapping[str, float], leak_S: float | Fraction, ground: str = "0"
) -> dict[str, Fraction]:
    """Node voltages of a resistor network with a leak from each node to ground."""
    nodes = list(dict.fromkeys(node for a, b, _ in branches for node in (a, b) if node != ground))
    matrix = conductance_matrix(branches, nodes, leak_S, ground)
    right = [Fraction(injection_A.get(node, 0.0)) for node in nodes]
    return dict(zip(nodes, _solve(matrix, right), strict=True))


def conductance_matrix(
    branches: Sequence[Branch], nodes: Sequence[str], leak_S: float | Fraction, ground: str = "0"
) -> list[list[Fraction]]:
    """The nodal conductance matrix over the given nodes, the leak on its diagonal."""
    place = {node: index for index, node in enumerate(nodes)}
    matrix = [[Fraction(0)] * len(nodes) for _ in nodes]
    for index in range(len(nodes)):
        matrix[index][index] = Fraction(leak_S)
    for a, b, conductance in branches:
        value = Fraction(conductance)
        for node in (a, b):
            if node != ground:
                matrix[place[node]][place[node]] += value
        if ground not in (a, b):
            matrix[place[a]][place[b]] -= value
            matrix[place[b]][place[a]] -= value
    return matrix


def without_last(matrix: list[list[Fraction]], kept: int) -> list[list[Fraction]]:
    """The matrix after elimination of all but the first ``kept`` unknowns (Schur complement)."""
    rows = [list(row) for row in matrix]
    for pivot in range(len(rows) - 1, kept - 1, -1):
        for row in rows[:pivot]:
            factor = row[pivot] / rows[pivot][pivot]
            for column in range(pivot):
                row[column] -= factor * rows[pivot][column]
    return [row[:kept] for row in rows[:kept]]


def _solve(matrix: list[list[Fraction]], right: list[Fraction]) -> list[Fraction]:
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    size = len(rows)
    for pivot in range(size):
        # A grounded conductance matrix has positive pivots in any order.
        for row in range(pivot + 1, size):
            factor = rows[row][pivot] / rows[pivot][pivot]
            if factor:
                for column in range(pivot, size + 1):
                    rows[row][column] -= factor * rows[pivot][column]
    answer = [Fraction(0)] * size
    for pivot in range(size - 1, -1, -1):
        known = sum(rows[pivot][column] * answer[column] for column in range(pivot + 1, size))
        answer[pivot] = (rows[pivot][size] - known) / rows[pivot][pivot]
    return answer
