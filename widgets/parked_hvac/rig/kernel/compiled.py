"""The kernel compiled by numba: the same source, read once more with compiled functions in its names.

Nothing imports this module before the work is large; numba alone takes seconds to import. The machine code
is kept on disk beside this file, or in the user's cache where the install cannot be written, in a folder
named after the digest of every source that went into it, so that stale code is never run.
"""

from __future__ import annotations

import dis
import hashlib
import os
import sys
import types
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numba
import numpy as np

from parked_hvac.rig.kernel import loop
from parked_hvac.rig.kernel.load import Load
from parked_hvac.rig.kernel.room import room
from parked_hvac.rig.kernel.wiring import order, wiring

_OWN = "parked_hvac."
_SMALLEST_CHUNK = 16  # draws for which a second thread is worth its start


def compiled(function: Callable[..., Any], **options: Any) -> Any:
    """``function`` compiled, and with it every function of this package that it names."""
    return numba.njit(nogil=True, error_model="numpy", **options)(_rewritten(function, {}))


def _rewritten(
    function: types.FunctionType | Callable[..., Any], known: dict[Any, Any]
) -> types.FunctionType:
    """A copy whose names lead to compiled functions instead of plain ones."""
    assert isinstance(function, types.FunctionType)
    names = dict(function.__globals__)
    for name in _called(function):
        called = names[name]
        if True:
            if called not in known:
                known[called] = numba.njit(nogil=True, error_model="numpy")(_rewritten(called, known))
            names[name] = known[called]
    copy = types.FunctionType(function.__code__, names, function.__name__, function.__defaults__)
    copy.__qualname__, copy.__module__ = function.__qualname__, function.__module__
    return copy


def _called(function: types.FunctionType) -> list[str]:
    """Names by which a function calls others of this package."""
    loaded = {step.argval for step in dis.get_instructions(function) if step.opname == "LOAD_GLOBAL"}
    found = {name: function.__globals__.get(name) for name in sorted(loaded)}
    return [
        name
        for name, value in found.items()
        if isinstance(value, types.FunctionType) and value.__module__.startswith(_OWN)
    ]
