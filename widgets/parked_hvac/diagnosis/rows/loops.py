"""The loops themselves, over rows of draws; whatever they fill in stands in the last argument."""

from __future__ import annotations

import math
from typing import Any

_TINY = 1e-300
_SWEEPS = 60  # over all pairs; eight or so are enough
_DIAGONAL = 1e-30  # share of the squares that may be left off the diagonal
_FAR = 20.0  # beyond it a logistic curve is 0 or 1 to two billionths


def run_widths(draws: Any, weights: Any, few: int, order: int, widen: float, into: Any) -> None:
    """Kernel widths of rows of draws (R, N), nan draws get 0; weights (C, N), row r has those of r modulo C.

    order: which near neighbour sets the width; with fewer than ``few`` draws none does.
    """
    rows, count = draws.shape
    sets = weights.shape[0]
    line, place, near = [0.0] * count, [0] * count, [0.0] * count
    for r in range(rows):
        weight = weights[r % sets]
        total, known = 0.0, 0
        for n in range(count):
            if math.isfinite(draws[r, n]):
                total += weight[n]
                known += 1
            into[r, n] = 0.0
        if known == 0:
            continue
        total = max(total, _TINY)
        mean, squares = 0.0, 0.0
        for n in range(count):
            if math.isfinite(draws[r, n]):
                mean += weight[n] / total * draws[r, n]
                squares += (weight[n] / total) ** 2
        variance = 0.0
        for n in range(count):
            if math.isfinite(draws[r, n]):
                variance += weight[n] / total * (draws[r, n] - mean) ** 2
        many = max(1.0 / squares if total > _TINY else float(count), 2.0)
        widest = 1.06 * math.sqrt(variance) * many**-0.2
        if count >= few:
            sort_known(draws[r], line, place)
            neighbour_distance(line, known, order, near)
        for k in range(count):
            if count < few:
                if math.isfinite(draws[r, k]):
                    into[r, k] = widest
            elif k < known:
                into[r, place[k]] = min(widen * min(near[k], widest), widest)


def sort_known(row: Any, line: Any, place: Any) -> None:
    """The finite draws of a row in order, and from which places they are; by insertion, as a row is short."""
    known = 0
    for n in range(len(row)):
        value = row[n]
        if math.isfinite(value):
            at = known
            while at > 0 and line[at - 1] > value:
                line[at], place[at] = line[at - 1], place[at - 1]
                at -= 1
            line[at], place[at] = value, n
            known += 1


def neighbour_distance(line: Any, known: int, order: int, near: Any) -> None:
    """Distance of each of the sorted draws to its neighbour of that order; inf where there is none."""
    for k in range(known):
        best = math.inf
        # The nearest ``order`` others lie in a run of order + 1 sorted draws that holds the draw itself.
        for first in range(max(k - order, 0), min(k, known - 1 - order) + 1):
            best = min(best, max(line[k] - line[first], line[first + order] - line[k]))
        near[k] = best


def run_tempered(log_weights: Any, log_factor: Any, least: Any, halvings: int, into: Any) -> None:
    """Weights (C, N) times factor^b, with the largest b in 0…1 that leaves as many draws effective as ``least`` (C,)."""
    for c in range(log_weights.shape[0]):
        if scale(log_weights[c], log_factor[c], 1.0, into[c]) >= least[c]:
            continue
        low, high = 0.0, 1.0
        for _ in range(halvings):
            middle = 0.5 * (low + high)
            if scale(log_weights[c], log_factor[c], middle, into[c]) >= least[c]:
                low = middle
            else:
                high = middle
        scale(log_weights[c], log_factor[c], low, into[c])


def scale(log_weight: Any, log_factor: Any, power: float, into: Any) -> float:
    """Weights (N,) times factor^power, which sum to 1; how many draws they leave effective."""
    top, total, squares = -math.inf, 0.0, 0.0
    for n in range(len(into)):
        into[n] = log_weight[n] + power * log_factor[n]
        top = max(top, into[n])
    for n in range(len(into)):
        into[n] = math.exp(into[n] - top)
        total += into[n]
    for n in range(len(into)):
        into[n] /= total
        squares += into[n] ** 2
    return 1.0 / squares


def run_shares(draws: Any, width: Any, held: Any, edges: Any, slope: float, below: Any, into: Any) -> None:
    """Share of each row of kernels in each cell between edges (E,), (C, E + 1); draws, width and weight held (C, N).

    A kernel's share below an edge follows the logistic curve of that slope. A row without weight stays 0. below (E,) is
    room to work.
    """
    last = len(edges)
    for c in range(draws.shape[0]):
        total = 0.0
        for n in range(draws.shape[1]):
            total += held[c, n]
        for n in range(draws.shape[1]):
            if held[c, n] > 0.0:
                share_below(draws[c, n], slope / width[c, n], edges, below)
                share = held[c, n] / total
                into[c, 0] += share * below[0]
                for e in range(1, last):
                    into[c, e] += share * (below[e] - below[e - 1])
                into[c, last] += share * (1.0 - below[last - 1])


def share_below(centre: float, slope: float, edges: Any, below: Any) -> None:
    """The logistic curve of that slope around a centre, at each edge (E,); fills in below (E,), right to two billionths.

    e^x is a series at a 64th of x, squared six times: nothing in the loop branches or calls, so that a processor works
    out several edges at once. Calls of exp were a sixth of what a score takes.
    """
    for e in range(len(edges)):
        x = min(max((centre - edges[e]) * slope, -_FAR), _FAR) * 0.015625
        power = 1.0 + x * (1.0 / 6.0)
        power = 1.0 + x * (1.0 / 5.0) * power
        power = 1.0 + x * (1.0 / 4.0) * power
        power = 1.0 + x * (1.0 / 3.0) * power
        power = 1.0 + x * (1.0 / 2.0) * power
        power = 1.0 + x * power
        power *= power
        power *= power
        power *= power
        power *= power
        power *= power
        power *= power
        below[e] = 1.0 / (1.0 + power)


def run_eigen(matrix: Any, vectors: Any) -> None:
    """Turn a symmetric matrix (P, P) until it is diagonal, and vectors (P, P), the unit matrix at first, with it.

    Jacobi's method by rows (G. H. Golub, C. F. Van Loan, Matrix Computations, section 8.5; from memory): each turn makes one
    pair of elements 0, and what lies off the diagonal falls with the square once it is small.
    """
    size = matrix.shape[0]
    for _ in range(_SWEEPS):
        off, whole = 0.0, 0.0
        for i in range(size):
            for j in range(size):
                whole += matrix[i, j] ** 2
                if i != j:
                    off += matrix[i, j] ** 2
        if off <= _DIAGONAL * whole:
            return
        for i in range(size - 1):
            for j in range(i + 1, size):
                if matrix[i, j] != 0.0:
                    turn(matrix, vectors, i, j)


def turn(matrix: Any, vectors: Any, i: int, j: int) -> None:
    """Turn rows and columns i and j by the angle that makes their common element 0."""
    slope = (matrix[j, j] - matrix[i, i]) / (2.0 * matrix[i, j])
    tangent = math.copysign(1.0, slope) / (abs(slope) + math.hypot(slope, 1.0))
    cosine = 1.0 / math.hypot(tangent, 1.0)
    sine = tangent * cosine
    for k in range(matrix.shape[0]):
        one, other = matrix[k, i], matrix[k, j]
        matrix[k, i], matrix[k, j] = cosine * one - sine * other, sine * one + cosine * other
    for k in range(matrix.shape[0]):
        one, other = matrix[i, k], matrix[j, k]
        matrix[i, k], matrix[j, k] = cosine * one - sine * other, sine * one + cosine * other
        one, other = vectors[k, i], vectors[k, j]
        vectors[k, i], vectors[k, j] = cosine * one - sine * other, sine * one + cosine * other
