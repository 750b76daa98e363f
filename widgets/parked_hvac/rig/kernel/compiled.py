"""The kernel as machine code, its draws shared out to the processors.

Nothing imports this module before the work is large: numba alone takes seconds to import.
"""

from __future__ import annotations

import os
import threading
from collections import deque
from concurrent.futures import ThreadPoolExecutor, wait
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from parked_hvac.circuit import fold
from parked_hvac.machine_code import compiled
from parked_hvac.physics import scalar
from parked_hvac.rig.kernel import loop
from parked_hvac.rig.kernel.engine import THREADS
from parked_hvac.rig.kernel.load import Load
from parked_hvac.rig.kernel.records import record
from parked_hvac.rig.kernel.room import room
from parked_hvac.rig.kernel.wiring import order, wiring

_SMALLEST_SHARE = 16  # draws for which a second thread is worth its start
_SHARES_EACH = 8  # of a large job, for each thread
_UNSIGNED = ("branch_edge", "ground_edge", "pivot", "spoke_edge", "spoke_node", "target")


def run(load: Load) -> None:
    """Do the job for every draw of the load, shared out to the processors."""
    _entry()  # compiled by one thread; two at once would compile twice and mix up where the code is kept
    draws = load.states.size
    threads = max(1, min(_most_threads(), draws // _SMALLEST_SHARE))
    if threads == 1:
        _part(load, 0, draws)
        return
    # More shares than threads: trucks that cool take longer than trucks that stand still.
    shares = min(_SHARES_EACH * threads, draws // _SMALLEST_SHARE)
    bounds = np.linspace(0, draws, shares + 1).astype(int).tolist()
    waiting = deque(pairwise(bounds))
    done = [_pool().submit(_work_off, load, waiting) for _ in range(threads - 1)]
    _work_off(load, waiting)
    wait(done)
    for part in done:
        part.result()


def _work_off(load: Load, waiting: deque[tuple[int, int]]) -> None:
    """Take one share after the other, as long as there are any."""
    while waiting:
        try:
            begin, end = waiting.popleft()
        except IndexError:  # another thread was quicker
            return
        _part(load, begin, end)


def _part(load: Load, begin: int, end: int) -> None:
    how, where, space = _rows()
    _entry()(
        begin,
        end,
        load.job,
        load.seconds,
        load.times,
        load.steps,
        load.red,
        load.black,
        load.pushed_A,
        load.probed_V,
        load.states,
        load.figures,
        load.hand,
        load.cells,
        load.coefficients,
        load.sun_W_per_m2,
        how,
        where,
        space,
        load.siemens,
        load.source_V,
        load.volts,
    )


_own = threading.local()


def _rows() -> tuple[NDArray[Any], NDArray[Any], NDArray[Any]]:
    if not hasattr(_own, "rows"):
        how = order()
        # Numbers without a sign are not looked at for counting from the end, which takes a fifth of the time.
        plain = {name: getattr(how, name).astype(np.uint32) for name in _UNSIGNED}
        _own.rows = (record(how._replace(**plain)), record(wiring()), record(room()))
    rows: tuple[NDArray[Any], NDArray[Any], NDArray[Any]] = _own.rows
    return rows


@cache
def _pool() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(max_workers=_most_threads(), thread_name_prefix="rig")


@cache
def _most_threads() -> int:
    return int(os.environ.get(THREADS, 0)) or os.cpu_count() or 1


@cache
def _entry() -> Any:
    return compiled(
        loop.run, [Path(__file__).parent, Path(fold.__file__).parent, Path(scalar.__file__).parent]
    )
