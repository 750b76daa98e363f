"""Which way a job is done."""

from __future__ import annotations

from parked_hvac.rig.kernel import plain
from parked_hvac.rig.kernel.load import Load


def run(load: Load, job: int, seconds: float = 0.0, steps: int = 1_000_000_000) -> None:
    """Do a job (see ``way.work``) for every draw of the load."""
    load.job, load.seconds, load.steps = job, seconds, steps
    plain.run(load)
