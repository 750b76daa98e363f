"""What others call: arrays in, arrays out; compiled when first asked for."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from parked_hvac.diagnosis.rows import loops

Floats = NDArray[np.float64]


def widths(draws: Floats, weights: Floats, few: int, order: int, widen: float) -> Floats:
    """See ``loops.run_widths``; draws (..., C, N) and weights (C, N)."""
    into = np.empty(draws.shape)
    count = draws.shape[-1]
    _compiled("run_widths")(
        _flat(draws).reshape(-1, count), _flat(weights), few, order, widen, into.reshape(-1, count)
    )
    return into


def tempered(log_weights: Floats, log_factor: Floats, least: Floats, halvings: int) -> Floats:
    """See ``loops.run_tempered``."""
    into = np.empty(log_weights.shape)
    _compiled("run_tempered")(_flat(log_weights), _flat(log_factor), _flat(least), halvings, into)
    return into


def shares(draws: Floats, width: Floats, held: Floats, edges: Floats, slope: float) -> Floats:
    """See ``loops.run_shares``."""
    into = np.zeros((draws.shape[0], edges.size + 1))
    _compiled("run_shares")(
        _flat(draws), _flat(width), _flat(held), _flat(edges), slope, np.empty(edges.size), into
    )
    return into


def standard(
    draws: Floats, weights: Floats, seen: Floats, sigma: Floats, reach: float
) -> tuple[Floats, Floats, Floats]:
    """z (C, N, P), z_seen (C, P) and noise (C, P); see ``loops.run_standard``."""
    z, z_seen, noise = np.empty(draws.shape), np.empty(sigma.shape), np.empty(sigma.shape)
    rows = (_flat(draws), _flat(weights), _flat(seen), _flat(sigma))
    _compiled("run_standard")(*rows, reach, z, z_seen, noise)
    return z, z_seen, noise


def moved(
    targets: Floats,
    weights: Floats,
    along: Floats,
    along_seen: Floats,
    eigen: Floats,
    vectors: Floats,
    noise: Floats,
    damping: Floats,
) -> tuple[Floats, Floats]:
    """Draws (M, C, N) and their extra standard deviation (M, C); see ``loops.run_moved``."""
    into, extra = np.empty(targets.shape), np.empty(targets.shape[:2])
    rows = [_flat(one) for one in (targets, weights, along, along_seen, eigen, vectors, noise, damping)]
    room = np.empty((3, along.shape[2] + along.shape[1]))
    _compiled("run_moved")(*rows, room, into, extra)
    return into, extra


def eigen(matrix: Floats) -> tuple[Floats, Floats]:
    """Eigenvalues (P,) and vectors (P, P), one each column, of a symmetric matrix; see ``loops.run_eigen``."""
    turned, vectors = np.array(matrix, dtype=np.float64), np.eye(len(matrix))
    _compiled("run_eigen")(turned, vectors)
    return np.diagonal(turned).copy(), vectors


def _flat(rows: Floats) -> Floats:
    """In one layout, so that one machine code fits all."""
    return np.ascontiguousarray(rows, dtype=np.float64)


@cache
def _compiled(name: str) -> Any:
    from parked_hvac.machine_code import compiled  # numba takes seconds to import

    return compiled(getattr(loops, name), [Path(__file__).parent])
