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

from parked_hvac.diagnosis.kernel import Floats
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
    if past.seen.size == 0:
        return Moved(np.where(np.isfinite(targets), targets, np.nan), np.zeros_like(targets))
    z, z_seen, noise = arrays.standard(past.draws, weights, past.seen, past.sigma, REACH)
    gram = (np.swapaxes(z, 1, 2) * weights[:, None, :]) @ z
    index = np.arange(gram.shape[-1])
    gram[:, index, index] += noise
    eigen, vectors = _eigen(gram)
    # Draws, and what was seen, in the directions of the gram matrix.
    along, along_seen = z @ vectors, (z_seen[:, None, :] @ vectors)[:, 0]
    draws, extra = arrays.moved(targets, weights, along, along_seen, eigen, vectors, noise, np.array(DAMPING))
    return Moved(draws, np.broadcast_to(extra[..., None], draws.shape))


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
