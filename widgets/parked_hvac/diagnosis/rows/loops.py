"""The loops themselves, over rows of draws; whatever they fill in stands in the last argument."""

from __future__ import annotations

import math
from typing import Any

_TINY = 1e-300
_SWEEPS = 60  # over all pairs; eight or so are enough
_DIAGONAL = 1e-30  # share of the squares that may be left off the diagonal
_LEAST_KNOWN = 3  # numbers among a reading's draws for it to be a predictor
_MOST_OWN = 0.9  # of a draw's own share in what is foretold of it
_MOST_LEVERAGE = 4.0
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


def run_standard(
    draws: Any, weights: Any, seen: Any, sigma: Any, reach: float, z: Any, z_seen: Any, noise: Any
) -> None:
    """Predictors as standard scores; draws (C, N, P), nan where a word, weights (C, N), seen (P,), sigma (C, P).

    Filled in: z (C, N, P), z_seen (C, P), at most ``reach`` from 0, noise (C, P), the share of variance that is noise.
    """
    for c in range(draws.shape[0]):
        for k in range(draws.shape[2]):
            total, mean, many = 0.0, 0.0, 0
            for n in range(draws.shape[1]):
                if math.isfinite(draws[c, n, k]):
                    total += weights[c, n]
                    mean += weights[c, n] * draws[c, n, k]
                    many += 1
            total = max(total, _TINY)
            mean /= total
            variance = 0.0
            for n in range(draws.shape[1]):
                if math.isfinite(draws[c, n, k]):
                    variance += weights[c, n] * (draws[c, n, k] - mean) ** 2
            scale = math.sqrt(variance / total + sigma[c, k] ** 2)
            scale = scale if scale > 0.0 else 1.0
            noise[c, k] = sigma[c, k] ** 2 / scale**2
            z_seen[c, k] = min(max((seen[k] - mean) / scale, -reach), reach)
            # A reading that hardly any draw shows as a number says nothing about the next one.
            if many < _LEAST_KNOWN:
                z_seen[c, k] = 0.0
            for n in range(draws.shape[1]):
                useful = many >= _LEAST_KNOWN and math.isfinite(draws[c, n, k])
                z[c, n, k] = (draws[c, n, k] - mean) / scale if useful else 0.0


def run_moved(
    targets: Any,
    weights: Any,
    along: Any,
    along_seen: Any,
    eigen: Any,
    vectors: Any,
    noise: Any,
    damping: Any,
    room: Any,
    moved: Any,
    extra: Any,
) -> None:
    """Draws moved along their regression on predictors, with the damping that does best at draws left out, or not at all.

    targets (M, C, N), nan where a word; weights (C, N); along (C, N, P) and along_seen (C, P): predictors of the draws, and as
    seen, in the directions ``vectors`` (C, P, P) of their gram matrix with eigenvalues ``eigen`` (C, P); noise (C, P);
    damping (D,); room (3, P + N) to work. Filled in: moved (M, C, N) and extra (M, C), the standard deviation added.
    """
    size = along.shape[2]
    aim, residual = room[0, size:], room[1, size:]
    load, slope, inverse = room[0], room[1], room[2]
    for c in range(weights.shape[0]):
        weight, own = weights[c], along[c]
        squares = 0.0
        for n in range(len(weight)):
            squares += weight[n] ** 2
        for m in range(targets.shape[0]):
            target, into = targets[m, c], moved[m, c]
            mean = centred(target, weight, aim)
            for k in range(size):
                load[k] = 0.0
            best = 0.0
            for n in range(len(weight)):
                into[n] = aim[n] / (1.0 - min(weight[n], _MOST_OWN))
                best += weight[n] * into[n] ** 2
                for k in range(size):
                    load[k] += aim[n] * weight[n] * own[n, k]
            shift, leverage, carried = 0.0, 0.0, 0.0
            for d in range(len(damping)):
                for k in range(size):
                    inverse[k] = 1.0 / (max(eigen[c, k], 0.0) + damping[d])
                    slope[k] = load[k] * inverse[k]
                error = 0.0
                for n in range(len(weight)):
                    told, reach = 0.0, 0.0
                    for k in range(size):
                        told += slope[k] * own[n, k]
                        reach += own[n, k] ** 2 * inverse[k]
                    residual[n] = (aim[n] - told) / (1.0 - min(weight[n] * (1.0 + reach), _MOST_OWN))
                    error += weight[n] * residual[n] ** 2
                if error < best:
                    best, shift, leverage, carried = error, 0.0, 0.0, 0.0
                    for n in range(len(weight)):
                        into[n] = residual[n]
                    for k in range(size):
                        shift += slope[k] * along_seen[c, k]
                        leverage += along_seen[c, k] ** 2 * inverse[k] * squares
                        plain = 0.0
                        for j in range(size):
                            plain += slope[j] * vectors[c, k, j]
                        carried += plain**2 * noise[c, k]
            extra[m, c] = math.sqrt(min(leverage, _MOST_LEVERAGE) * best + carried)
            for n in range(len(weight)):
                into[n] = mean + shift + into[n] if math.isfinite(target[n]) else math.nan


def centred(values: Any, weight: Any, into: Any) -> float:
    """The weighted mean of the finite values (N,), and into (N,) what they lie above it; 0 for the others."""
    total, mean = 0.0, 0.0
    for n in range(len(values)):
        if math.isfinite(values[n]):
            total += weight[n]
            mean += weight[n] * values[n]
    mean /= max(total, _TINY)
    for n in range(len(values)):
        into[n] = values[n] - mean if math.isfinite(values[n]) else 0.0
    return mean


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
