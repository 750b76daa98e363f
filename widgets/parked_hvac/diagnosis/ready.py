"""Compile now what runs as machine code, so that nobody waits for it later: ``python -m parked_hvac.diagnosis.ready``."""

from __future__ import annotations

import numpy as np

from parked_hvac.diagnosis.rows import arrays
from parked_hvac.rig.parameters import nominal
from parked_hvac.rig.truck import Truck

_MANY = 500
"""Draws enough for the job to be a large one, which is what is compiled."""


def compile_now() -> None:
    """Do each job once, of no consequence; the machine code stays on disk."""
    Truck(nominal(_MANY)).advance(1.0)
    draws = np.array([[1.0, 2.0]])
    even = np.full_like(draws, 0.5)
    arrays.widths(draws, even, few=2, order=1, widen=1.0)
    arrays.tempered(np.log(even), draws, least=np.ones(1), halvings=1)
    arrays.shares(draws, even, even, edges=np.ones(1), slope=1.0)
    arrays.eigen(draws.T @ draws)
    arrays.standard(draws[..., None], even, seen=np.ones(1), sigma=np.ones((1, 1)), reach=1.0)
    cube, square = draws[..., None], np.ones((1, 1))
    arrays.moved(draws[None], even, cube, square, square, square[None], square, damping=np.ones(1))


if __name__ == "__main__":
    compile_now()
