"""How much is known, in bits, and how much a check would add.

Entropy after C. E. Shannon (1948); the expected entropy after one more check, and the rule to take the
check that leaves least, after J. de Kleer and B. C. Williams, Artificial Intelligence 32, 1987; what a
check costs beside it, after D. Heckerman, J. S. Breese and K. Rommelse, Commun. ACM 38(3), 1995.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from parked_hvac.diagnosis.ensemble import Forecast
from parked_hvac.diagnosis.kernel import Floats, effective_draws, shares_between, word_match
from parked_hvac.diagnosis.posterior import STRAY

Flags = NDArray[np.bool_]

CELLS = 48
"""Parts into which the numbers of one check are sorted; fewer can only make a check look less telling."""
STRONG = 20.0
"""A cause is ruled out when the readings are this many times as probable under the best one (R. E. Kass,
A. E. Raftery, J. Am. Stat. Assoc. 90, 1995, call 20 'strong'; from memory)."""


def entropy_bits(probability: Floats) -> float:
    """Entropy of probabilities (C,) that sum to 1, in bits; 0 when one is certain."""
    p = probability[probability > 0]
    return float(-(p * np.log2(p)).sum())


def gained_bits(before: Floats, after: Floats) -> float:
    """What one reading taught: relative entropy of the posterior (C,) after it to that before it, bits ≥ 0.

    (S. Kullback, R. A. Leibler, Ann. Math. Stat. 22, 1951.) Its expectation is the expected fall of the entropy;
    unlike that fall it also counts a reading that makes a mistaken belief uncertain again.
    """
    known = after > 0
    return max(float((after[known] * np.log2(after[known] / before[known])).sum()), 0.0)


def expected_entropy_bits(prior: Floats, outcome: Floats) -> float:
    """Entropy to expect after a check with outcome probabilities (C, K), rows sum to 1, given prior (C,)."""
    joint = prior[:, None] * outcome
    total = joint.sum(axis=0)
    known = joint > 0
    posterior = np.where(known, joint / np.where(total > 0, total, 1.0), 1.0)
    return float(-(joint * np.log2(posterior))[known].sum())


def one_step_entropy_bits(entropy: float, predicted: dict[str, float], silent: float, values: int) -> float:
    """The closed form of de Kleer and Williams for one probe of a quantity with so many ``values``, in bits.

    predicted: probability of the candidates that foretell each value; silent: of those that foretell none,
    who spread evenly over all values.
    """
    total = entropy
    for share in predicted.values():
        p = share + silent / values
        total += p * np.log2(p)
    if silent > 0:
        total += silent * np.log2(silent)
        total -= len(predicted) * silent / values * np.log2(silent / values)
    return float(total)


def expected_information_bits(forecast: Forecast, weight: Floats) -> Floats:
    """Bits each of M coming readings is expected to add (M,), never below 0; weight: probabilities (C,)."""
    before = entropy_bits(weight)
    gains = [
        before - expected_entropy_bits(weight, outcome_table(forecast, m, weight))
        for m in range(len(forecast.draws))
    ]
    return np.asarray(np.maximum(np.array(gains), 0.0))


def bits_of_tables(tables: Floats, weight: Floats) -> Floats:
    """Bits each of M checks is expected to add (M,), from tables of outcomes (M, C, K) and probabilities (C,).

    The mutual information of cause and outcome: the entropy of the outcome less what is left of it once the cause is known.
    """
    mixed = np.einsum("c,mck->mk", weight, tables)
    bits: Floats = weight @ _plogp(tables).sum(axis=2).T - _plogp(mixed).sum(axis=1)
    return np.maximum(bits, 0.0)


def _plogp(p: Floats) -> Floats:
    return p * np.log2(np.where(p > 0, p, 1.0))


def outcome_table(forecast: Forecast, index: int, weight: Floats, cells: int = CELLS) -> Floats:
    """Probability of each outcome of one coming reading under each candidate (C, K); words, then cells."""
    said = forecast.said[index]
    draws = forecast.draws[index]
    number = said == 0
    vocabulary = np.flatnonzero(np.bincount(said.ravel())[1:]) + 1
    many = effective_draws(forecast.weights)
    size = len(vocabulary) + 2
    columns = [_word_column(said == w, forecast.weights, many, size) for w in vocabulary.tolist()]
    shares = _word_column(number, forecast.weights, many, size)
    if number.any():
        edges = _edges(draws, number, forecast.weights, weight, cells)
        held = np.where(number, forecast.weights, 0.0)
        total = held.sum(axis=1, keepdims=True)
        mass = shares_between(edges, draws, forecast.width[index], held)
        # A candidate that never shows a number spreads the little it allows over all of them.
        mass = np.where(total > 0, mass, 1.0 / mass.shape[1])
        columns.extend((shares[:, None] * mass).T)
    else:
        columns.append(shares)
    table = np.stack(columns, axis=1)
    table = table / table.sum(axis=1, keepdims=True)
    pooled = weight @ table
    mixed: Floats = (1 - STRAY) * table + STRAY * pooled
    return mixed


def likely_causes(probability: Floats, faint: float, least: int) -> NDArray[np.intp]:
    """Indices of the causes at least ``faint`` probable, and of the likeliest ``least`` in any case; in order."""
    least_probable = np.sort(probability)[-min(least, probability.size)]
    return np.flatnonzero(probability >= min(faint, least_probable))


def ruled_out(log_likelihood: Floats) -> Flags:
    """Which candidates (C,) the readings speak strongly against, beside the best one."""
    out: Flags = log_likelihood < log_likelihood.max() - np.log(STRONG)
    return out


def _word_column(same: Flags, weights: Floats, many: Floats, size: int) -> Floats:
    column: Floats = (weights * word_match(same, many[:, None], size)).sum(axis=1)
    return column


def _edges(draws: Floats, number: Flags, weights: Floats, weight: Floats, cells: int) -> Floats:
    """Borders of the cells: half where all draws lie, half where the draws of likely candidates lie."""
    value = draws[number]
    order = np.argsort(value)
    value = value[order]
    equal = weights[number][order]
    likely = (weights * weight[:, None])[number][order]
    levels = (np.arange(cells // 2) + 0.5) / (cells // 2)
    parts = []
    for mass in (equal, likely):
        below = np.cumsum(mass) / mass.sum()
        place = np.minimum(np.searchsorted(below, levels), value.size - 1)
        following = np.minimum(place + 1, value.size - 1)
        parts.append(0.5 * (value[place] + value[following]))
    found: Floats = np.unique(np.concatenate(parts))
    return found
