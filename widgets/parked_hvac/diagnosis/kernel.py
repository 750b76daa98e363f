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

from parked_hvac.diagnosis.rows import arrays

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
    """Kernel width of each draw, same shape and unit as draws (..., C, N); nan draws are left out and get 0; weights (C, N)."""
    count = draws.shape[-1]
    order = min(max(round(NEIGHBOUR * count**0.8), 1), count - 1)
    return arrays.widths(draws, np.atleast_2d(weights), FEW, order, WIDEN)


def log_bell(offset: Floats, width: Floats) -> Floats:
    """Log density of the kernel at ``offset`` from its centre; both in the reading's unit, any shape."""
    nu = FREEDOM
    constant = math.lgamma((nu + 1) / 2) - math.lgamma(nu / 2) - 0.5 * math.log(nu * math.pi)
    return constant - np.log(width) - (nu + 1) / 2 * np.log1p((offset / width) ** 2 / nu)


def shares_between(edges: Floats, draws: Floats, width: Floats, held: Floats) -> Floats:
    """Share of each candidate's kernels in the cells between edges (E,), (C, E + 1); rows sum to 1, or 0 where none is held.

    draws, width and the weight with which each counts (held): (C, N). Logistic curve of the same quartiles, quick to work out.
    """
    return arrays.shares(draws, width, held, edges, 2.0 * 0.7559)


def word_match(same: NDArray[np.bool_], draws: Floats, words: int) -> Floats:
    """Probability a draw gives to the word seen: high where it shows it, small but not zero elsewhere.

    same (...): whether the draw shows it; draws (...): how many stand for its candidate; words: size of the
    vocabulary.
    """
    slip = 1.0 / (draws + 2.0)
    return np.where(same, 1.0 - slip, slip / max(words - 1, 1))
