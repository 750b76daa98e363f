"""Densities from a few weighted draws: kernels as wide as the draws lie apart, and a kernel for words.

A reading to 0.01 V rules out every one of two dozen draws of the true cause if each draw counts as a
point. So each draw spreads over its neighbourhood: its width follows the distance to its near
neighbours (variable kernel: L. Breiman, W. Meisel, E. Purcell, Technometrics 19, 1977), at most the
width that suits one bell curve (B. W. Silverman, Density Estimation, 1986, ch. 3; both from memory).
Words get the kernel of J. Aitchison and C. G. G. Aitken, Biometrika 63, 1976 (from memory).
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

FREEDOM = 5.0
"""Degrees of freedom of the kernel (Student's t): an odd reading costs a draw much, but never everything."""
NEIGHBOUR = 0.24
"""Which near neighbour sets the width, over the number of draws to the power of 4/5: the third of two dozen. The power is
the one for which chance and blur fall together as draws are added (D. O. Loftsgaarden, C. P. Quesenberry, Ann. Math.
Stat. 36, 1965, and Silverman, ch. 5; from memory). A root, tried before, left the width to chance with hundreds of draws."""
FEW = 8
"""With fewer trucks than this their neighbours say little; one bell curve is then assumed."""
WIDEN = 1.5
"""Width over distance to that neighbour; the calibration test holds for 1 to 2."""


def effective_draws(weights: Floats) -> Floats:
    """How many equal draws the weights (..., N), which sum to 1, are worth: (...)."""
    total: Floats = 1.0 / np.sum(weights**2, axis=-1)
    return total


def widths(draws: Floats, weights: Floats) -> Floats:
    """Kernel width of each draw, same shape and unit as draws (..., N); nan draws are left out and get 0."""
    count = draws.shape[-1]
    known = np.isfinite(draws)
    weight = np.where(known, weights, 0.0)
    total = np.maximum(weight.sum(axis=-1, keepdims=True), 1e-300)
    weight = weight / total
    filled = np.where(known, draws, 0.0)
    mean = np.sum(weight * filled, axis=-1, keepdims=True)
    spread = np.sqrt(np.sum(weight * (filled - mean) ** 2, axis=-1, keepdims=True))
    many = np.maximum(effective_draws(np.where(total > 1e-300, weight, 1.0 / count)), 2.0)[..., None]
    widest = 1.06 * spread * many**-0.2
    if count < FEW:
        return np.where(known, widest, 0.0)
    order = min(max(round(NEIGHBOUR * count**0.8), 1), count - 1)
    near = _neighbour_distance(draws, order)
    return np.where(known, np.minimum(WIDEN * np.minimum(near, widest), widest), 0.0)


def _neighbour_distance(draws: Floats, order: int) -> Floats:
    """Distance of each draw to its neighbour of that order along the last axis; inf where there is none."""
    rank = np.argsort(draws, axis=-1)
    line = np.take_along_axis(draws, rank, axis=-1)  # nan last
    count = draws.shape[-1]
    best = np.full(line.shape, np.inf)
    # The nearest ``order`` others lie in a run of order + 1 sorted draws that holds the draw itself.
    for below in range(order + 1):
        above = order - below
        if below + above >= count:
            continue
        middle = slice(below, count - above)
        run = np.maximum(
            line[..., middle] - line[..., : count - order], line[..., order:] - line[..., middle]
        )
        best[..., middle] = np.fmin(best[..., middle], run)
    distance = np.empty_like(best)
    np.put_along_axis(distance, rank, best, axis=-1)
    return distance


def log_bell(offset: Floats, width: Floats) -> Floats:
    """Log density of the kernel at ``offset`` from its centre; both in the reading's unit, any shape."""
    nu = FREEDOM
    constant = math.lgamma((nu + 1) / 2) - math.lgamma(nu / 2) - 0.5 * math.log(nu * math.pi)
    return constant - np.log(width) - (nu + 1) / 2 * np.log1p((offset / width) ** 2 / nu)


def share_below(edge: Floats, centre: Floats, width: Floats) -> Floats:
    """Share of a kernel below an edge, 0 to 1 (logistic curve of the same quartiles, quick to work out).

    In single precision, ten times as quick and good to a ten-millionth.
    """
    steps = ((centre - edge) / width).astype(np.float32)
    steps *= np.float32(2.0 * 0.7559)
    np.clip(steps, -80.0, 80.0, out=steps)
    np.exp(steps, out=steps)
    steps += np.float32(1.0)
    return np.asarray(np.reciprocal(steps, out=steps), dtype=np.float64)


def word_match(same: NDArray[np.bool_], draws: Floats, words: int) -> Floats:
    """Probability a draw gives to the word seen: high where it shows it, small but not zero elsewhere.

    same (...): whether the draw shows it; draws (...): how many stand for its candidate; words: size of the
    vocabulary.
    """
    slip = 1.0 / (draws + 2.0)
    return np.where(same, 1.0 - slip, slip / max(words - 1, 1))
