"""Which way a job is done: as plain Python while it is small, compiled when it is large."""

from __future__ import annotations

import importlib
import sys

from parked_hvac.rig.kernel import plain
from parked_hvac.rig.kernel.load import Load
from parked_hvac.rig.kernel.way import ADVANCE

THREADS = "PARKED_HVAC_THREADS"
"""Environment variable: how many processors large jobs of one process may use; all where it is not set."""
_COMPILED = "parked_hvac.rig.kernel.compiled"
_MANY = 400
"""Equilibria from which on compiling is worth it: in plain Python they take about as long as numba's import."""
_USUAL_STEP_S = 10.0
"""In coarse steps (``step_scale`` 1)."""


def run(load: Load, job: int, seconds: float = 0.0, steps: int = 1_000_000_000, times: int = 1) -> None:
    """Do a job (see ``way.work``) for every draw of the load."""
    load.job, load.seconds, load.steps, load.times = job, seconds, steps, times
    if _COMPILED in sys.modules or _equilibria(load) > _MANY:
        importlib.import_module(_COMPILED).run(load)
    else:
        plain.run(load)


def _equilibria(load: Load) -> float:
    """About how many there will be, all steps that are still to come among them."""
    each = 2.0
    if load.job == ADVANCE:
        each = 6.0 + load.times * load.seconds / (_USUAL_STEP_S * float(load.hand["step_scale"][0]))
    return each * load.states.size
