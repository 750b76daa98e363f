"""What the readings so far say about the next one, within one candidate.

Two voltages of a truck rise and fall together with its state of charge; the drop between them is what
tells. So each candidate's draws of the next reading are moved along their regression on the readings
already taken, to where those readings were really seen (M. A. Beaumont, W. Zhang, D. J. Balding, Genetics
162, 2002; the same linear step as in G. Evensen, J. Geophys. Res. 99, 1994; both from memory). Few
draws and many readings would fit anything, so the regression is damped, the damping is chosen by leaving
one draw out, and the scatter kept is the scatter of the draws left out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from threadpoolctl import threadpool_limits  # type: ignore[import-untyped]

from parked_hvac.diagnosis.kernel import Floats, effective_draws
from parked_hvac.diagnosis.rows import arrays

DAMPING = (0.003, 0.03, 0.3, 3.0)
"""Damping tried, as a share of a predictor's variance; 'no regression' is tried besides."""
REACH = 3.0
"""A reading farther than this many standard deviations from a candidate's draws moves them no farther."""


# The matrices have a few dozen rows: a second thread of the BLAS waits longer than it works, and four fifths of the time
# of a long attempt went that way. The limit holds for the whole process; nothing in it multiplies large ones.
threadpool_limits(1, user_api="blas")


@dataclass(frozen=True)
class Past:
    """Readings already taken as predictors: draws (C, N, P) nan where a word, seen (P,), sigma (C, P)."""

    draws: Floats
    seen: Floats
    sigma: Floats


@dataclass(frozen=True)
class Moved:
    """Draws of M new readings at the readings seen: draws, and an extra standard deviation, both (M, C, N)."""

    draws: Floats
    extra: Floats


def move(past: Past, weights: Floats, targets: Floats) -> Moved:
    """Draws of new readings given the past ones; weights (C, N) sum to 1, targets (M, C, N), nan = a word."""
    known = np.isfinite(targets)
    count = np.where(known, weights, 0.0).sum(axis=-1, keepdims=True)
    mean = np.where(known, weights * np.where(known, targets, 0.0), 0.0).sum(axis=-1, keepdims=True)
    mean = mean / np.maximum(count, 1e-300)
    centred = np.where(known, targets - mean, 0.0)
    if past.seen.size == 0:
        return Moved(np.where(known, targets, np.nan), np.zeros_like(targets))
    z, z_seen, noise = _standardised(past, weights)
    turned = np.swapaxes(z, 1, 2)
    gram = (turned * weights[:, None, :]) @ z
    index = np.arange(gram.shape[-1])
    gram[:, index, index] += noise
    eigen, vectors = _eigen(gram)
    along = z @ vectors  # draws in the directions of the gram matrix
    along_seen = (z_seen[:, None, :] @ vectors)[:, 0]
    aim = np.swapaxes(centred, 0, 1)  # (C, M, N), as matrices are multiplied by candidate
    load = (aim * weights[:, None, :]) @ along

    many = effective_draws(weights)
    squares, across = along**2, np.swapaxes(along, 1, 2)
    moved = aim / (1.0 - np.minimum(weights, 0.9))[:, None, :]
    best_error = (weights[:, None, :] * moved**2).sum(axis=-1)
    shift = np.zeros(best_error.shape)
    leverage = np.zeros(best_error.shape)
    carried = np.zeros(best_error.shape)
    for damping in DAMPING:
        inverse = 1.0 / (np.maximum(eigen, 0.0) + damping)
        slope = load * inverse[:, None, :]
        own = weights * (1.0 + (squares @ inverse[..., None])[..., 0])
        residual = (aim - slope @ across) / (1.0 - np.minimum(own, 0.9))[:, None, :]
        error = (weights[:, None, :] * residual**2).sum(axis=-1)
        better = error < best_error
        best_error = np.where(better, error, best_error)
        moved = np.where(better[..., None], residual, moved)
        shift = np.where(better, (slope @ along_seen[..., None])[..., 0], shift)
        reach = (along_seen**2 * inverse).sum(axis=-1) / many
        leverage = np.where(better, reach[:, None], leverage)
        plain = slope @ np.swapaxes(vectors, 1, 2)
        carried = np.where(better, (plain**2 @ noise[..., None])[..., 0], carried)
    extra = np.sqrt(np.minimum(leverage, 4.0) * best_error + carried)
    placed = mean + np.swapaxes(shift[..., None] + moved, 0, 1)
    spread = np.swapaxes(extra, 0, 1)[..., None]
    return Moved(np.where(known, placed, np.nan), np.broadcast_to(spread, placed.shape))


def _eigen(gram: Floats) -> tuple[Floats, Floats]:
    """Eigenvalues and vectors of symmetric matrices (C, P, P), in no particular order.

    LAPACK's solver (OpenBLAS 0.3 in numpy 2.4) gives up on some matrices as good as any, where many readings showed words;
    the whole attempt then went without a score. Those are turned by Jacobi's method, which takes longer and never gives up.
    """
    try:
        values, vectors = np.linalg.eigh(gram)
    except np.linalg.LinAlgError:
        values, vectors = np.empty(gram.shape[:-1]), np.empty(gram.shape)
        for c, matrix in enumerate(gram):
            try:
                values[c], vectors[c] = np.linalg.eigh(matrix)
            except np.linalg.LinAlgError:
                values[c], vectors[c] = arrays.eigen(matrix)
    return values, vectors


def _standardised(past: Past, weights: Floats) -> tuple[Floats, Floats, Floats]:
    """Predictors as standard scores: draws (C, N, P), seen (C, P), share of variance that is noise (C, P)."""
    known = np.isfinite(past.draws)
    weight = np.where(known, weights[..., None], 0.0)
    total = np.maximum(weight.sum(axis=1), 1e-300)
    filled = np.where(known, past.draws, 0.0)
    mean = (weight * filled).sum(axis=1) / total
    offset = np.where(known, filled - mean[:, None, :], 0.0)
    variance = (weight * offset**2).sum(axis=1) / total
    scale = np.sqrt(variance + past.sigma**2)
    scale = np.where(scale > 0, scale, 1.0)
    # A reading that hardly any draw shows as a number says nothing about the next one.
    useful = (known.sum(axis=1) >= 3)[:, None, :]
    z = np.where(useful, offset / scale[:, None, :], 0.0)
    seen = np.clip((past.seen[None, :] - mean) / scale, -REACH, REACH)
    return z, np.where(useful[:, 0, :], seen, 0.0), past.sigma**2 / scale**2
