"""The beta distribution: probability below a share, and the share below which a probability lies.

Incomplete beta function by its continued fraction (NIST Digital Library of Mathematical Functions, 8.17.22),
evaluated by the modified Lentz method (I. J. Thompson, A. R. Barnett, J. Comput. Phys. 64, 1986).
"""

from __future__ import annotations

from math import exp, lgamma, log, log1p

_TINY = 1e-300
_PRECISION = 1e-15
_MOST_TERMS = 500


def below(share: float, alpha: float, beta: float) -> float:
    """Probability that a beta-distributed share lies below ``share``; alpha and beta above 0."""
    if not (alpha > 0 and beta > 0):
        raise ValueError(
            f"A beta distribution cannot have parameters {alpha} and {beta}: give numbers above 0."
        )
    if share <= 0.0:
        return 0.0
    if share >= 1.0:
        return 1.0
    front = exp(
        lgamma(alpha + beta) - lgamma(alpha) - lgamma(beta) + alpha * log(share) + beta * log1p(-share)
    )
    # The fraction converges fast on this side of the mean only.
    if share > (alpha + 1.0) / (alpha + beta + 2.0):
        return 1.0 - front / (beta * _fraction(1.0 - share, beta, alpha))
    return front / (alpha * _fraction(share, alpha, beta))


def quantile(probability: float, alpha: float, beta: float) -> float:
    """The share below which a beta-distributed one lies with this probability, by halving to 1e-15."""
    low, high = 0.0, 1.0
    while high - low > 1e-15:
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        low, high = (middle, high) if below(middle, alpha, beta) < probability else (low, middle)
    return 0.5 * (low + high)


def _fraction(x: float, a: float, b: float) -> float:
    """1 + d1/(1 + d2/(1 + …)) with the terms of DLMF 8.17.23."""
    value = c = 1.0
    d = 0.0
    for n in range(1, _MOST_TERMS):
        m = n // 2
        if n % 2:
            term = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        else:
            term = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        d = 1.0 / (1.0 + term * d or _TINY)
        c = 1.0 + term / c or _TINY
        value *= c * d
        if abs(c * d - 1.0) < _PRECISION:
            break
    return value
