"""Candidates that no check of the list can tell apart."""

from __future__ import annotations

import numpy as np

from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.outlook import Outlook

APART_BITS = 0.1
"""Two candidates are told apart by a check that adds so much to an even bet between them."""


def alike(outlook: Outlook, name: str) -> tuple[str, ...]:
    """Names of the candidates that no check tells from the named one, itself first."""
    names = outlook.cast.names
    best = telling_apart_bits(outlook.table, names.index(name))
    return (
        name,
        *(other for other, bits in zip(names, best, strict=True) if bits < APART_BITS and other != name),
    )


def telling_apart_bits(table: Floats, index: int) -> Floats:
    """Most that any one check adds to an even bet between candidate ``index`` and each candidate, (C,) in bits.

    table: probability of each outcome of each check under each candidate (M, C, K). The Jensen-Shannon divergence of
    the two outcomes (J. Lin, IEEE Trans. Inf. Theory 37, 1991, from memory).
    """
    own = table[:, index : index + 1]
    middle = 0.5 * (table + own)
    bits: Floats = 0.5 * _relative(table, middle) + 0.5 * _relative(np.broadcast_to(own, table.shape), middle)
    return np.asarray(bits.max(axis=0))


def _relative(p: Floats, q: Floats) -> Floats:
    total: Floats = np.where(p > 0, p * np.log2(np.where(p > 0, p, 1.0) / np.where(q > 0, q, 1.0)), 0.0).sum(
        axis=-1
    )
    return total
