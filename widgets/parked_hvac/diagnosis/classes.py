"""Candidates that no check of the list can tell apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from parked_hvac.diagnosis.cast import Cast
from parked_hvac.diagnosis.ensemble import fresh
from parked_hvac.diagnosis.information import outcome_table
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.prediction import Prediction

APART_BITS = 0.1
"""Two candidates are told apart by a check that adds so much to an even bet between them."""


def alike(cast: Cast, outlook: Mapping[str, Prediction], name: str) -> tuple[str, ...]:
    """Names of the candidates that no check tells from the named one, itself first."""
    index = [candidate.name for candidate in cast.among].index(name)
    best = telling_apart_bits([told.taken(cast.own) for told in outlook.values()], index)
    others = [
        c.name for c, bits in zip(cast.among, best, strict=True) if bits < APART_BITS and c.name != name
    ]
    return (name, *others)


def telling_apart_bits(told: Sequence[Prediction], index: int) -> Floats:
    """Most that any one check adds to an even bet between candidate ``index`` and each candidate, (C,) in bits.

    The Jensen-Shannon divergence of the two outcomes (J. Lin, IEEE Trans. Inf. Theory 37, 1991, from memory).
    """
    count, draws = told[0].values.shape
    best = np.zeros(count)
    even = np.full(count, 1.0 / count)
    forecast = fresh(count, draws).forecast(told)
    for m in range(len(told)):
        table = outcome_table(forecast, m, even)
        own = table[index]
        middle = 0.5 * (table + own)
        bits = 0.5 * _relative(table, middle) + 0.5 * _relative(np.broadcast_to(own, table.shape), middle)
        best = np.maximum(best, bits)
    return best


def _relative(p: Floats, q: Floats) -> Floats:
    total: Floats = np.where(p > 0, p * np.log2(np.where(p > 0, p, 1.0) / np.where(q > 0, q, 1.0)), 0.0).sum(
        axis=-1
    )
    return total
