"""The kernel compiled by numba: the same source, read once more with compiled functions in its names.

Nothing imports this module before the work is large: numba alone takes seconds to import. The machine code is
kept on disk, in a folder named after the digest of every source that went into it, so that stale code never
runs: beside this file, or in the user's cache where the install cannot be written.
"""

from __future__ import annotations

import dis
import hashlib
import os
import sys
import threading
import types
from collections import deque
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import numba as _numba
import numpy as np
from numpy.typing import NDArray

from parked_hvac.circuit import fold
from parked_hvac.physics import scalar
from parked_hvac.rig.kernel import loop
from parked_hvac.rig.kernel.load import Load
from parked_hvac.rig.kernel.records import record
from parked_hvac.rig.kernel.room import room
from parked_hvac.rig.kernel.wiring import order, wiring

numba: Any = _numba  # its types know neither its settings nor all of its options
_OWN = "parked_hvac."
_SMALLEST_SHARE = 16  # draws for which a second thread is worth its start
_SHARES_EACH = 8  # of a large job, for each thread
_CACHE = "machine-code"
_UNSIGNED = ("branch_edge", "ground_edge", "pivot", "spoke_edge", "spoke_node", "target")

Function = types.FunctionType


def run(load: Load) -> None:
    """Do the job for every draw of the load, shared out to the processors."""
    _entry()  # compiled by one thread; two at once would compile twice and mix up where the code is kept
    draws = load.states.size
    threads = max(1, min(os.cpu_count() or 1, draws // _SMALLEST_SHARE))
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
    return ThreadPoolExecutor(max_workers=os.cpu_count() or 1, thread_name_prefix="rig")


@cache
def _entry() -> Any:
    before = numba.config.CACHE_DIR
    numba.config.CACHE_DIR = str(_folder())
    try:
        return numba.njit(nogil=True, error_model="numpy", cache=True)(_rewritten(loop.run, {}))
    finally:
        numba.config.CACHE_DIR = before


def _rewritten(function: Function | Callable[..., Any], known: dict[Function, Any]) -> Function:
    """A copy of a function whose names lead to compiled functions instead of plain ones."""
    assert isinstance(function, Function)
    names = dict(function.__globals__)
    for name, called in _called(function).items():
        if called not in known:
            known[called] = numba.njit(
                nogil=True, error_model="numpy", no_cpython_wrapper=True, no_cfunc_wrapper=True
            )(_rewritten(called, known))
        names[name] = known[called]
    copy = Function(function.__code__, names, function.__name__, function.__defaults__)
    copy.__qualname__, copy.__module__ = function.__qualname__, function.__module__
    return copy


def _called(function: Function) -> dict[str, Function]:
    """Functions of this package that a function calls, by the names it has for them."""
    loaded = {step.argval for step in dis.get_instructions(function) if step.opname == "LOAD_GLOBAL"}
    found = {name: function.__globals__.get(name) for name in sorted(loaded)}
    return {
        name: value
        for name, value in found.items()
        if isinstance(value, Function) and value.__module__.startswith(_OWN)
    }


@cache
def _folder() -> Path:
    """Where the machine code of these sources is kept."""
    code = hashlib.sha256()
    for folder in (Path(__file__).parent, Path(fold.__file__).parent, Path(scalar.__file__).parent):
        for file in sorted(folder.glob("*.py")):
            code.update(file.read_bytes())
    beside = Path(__file__).with_name(_CACHE)
    try:
        beside.mkdir(exist_ok=True)
        place = beside if os.access(beside, os.W_OK) else _user_cache()
    except OSError:
        place = _user_cache()
    return place / code.hexdigest()[:16]


def _user_cache() -> Path:
    if sys.platform == "win32":
        root = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        root = Path.home() / "Library" / "Caches"
    else:
        root = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    return root / "parked-hvac" / _CACHE
