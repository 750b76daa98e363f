"""Compile the kernel now, so that nobody waits for it later: ``python -m parked_hvac.rig.kernel.ready``."""

from __future__ import annotations

from parked_hvac.rig.parameters import nominal
from parked_hvac.rig.truck import Truck

_MANY = 500
"""Draws enough for the job to be a large one, which is what is compiled."""


def compile_now() -> None:
    """Do a large job of no consequence; the machine code stays on disk."""
    Truck(nominal(_MANY)).advance(1.0)


if __name__ == "__main__":
    compile_now()
