"""Plain functions compiled by numba: the same source, read once more with compiled functions in its names.

Nothing imports this module before the work is large: numba alone takes seconds to import. The machine code is
kept on disk, in a folder named after the digest of every source that went into it, so that stale code never
runs: beside this file, or in the user's cache where the install cannot be written.
"""

from __future__ import annotations

import dis
import hashlib
import os
import sys
import types
from collections.abc import Callable, Sequence
from pathlib import Path
from threading import Lock
from typing import Any

import numba as _numba

numba: Any = _numba  # its types know neither its settings nor all of its options
_OWN = "parked_hvac."
_CACHE = "machine-code"

_LAXER = {"contract", "arcp", "nsz", "reassoc"}
"""What the compiler may do with sums and quotients that plain Python may not: results move in their last digits, and a tenth
of the time is saved. What it may not is to take for granted that there is no nan and no infinity: both have a meaning here."""

Function = types.FunctionType
_one_at_a_time = Lock()  # where numba keeps code is a setting of the whole process


def compiled(function: Callable[..., Any], sources: Sequence[Path]) -> Any:
    """A function with all it calls of this package, compiled when it is first called; ``sources``: folders with their code."""
    with _one_at_a_time:
        before = numba.config.CACHE_DIR
        numba.config.CACHE_DIR = str(_folder(sources))
        try:
            return numba.njit(nogil=True, error_model="numpy", fastmath=_LAXER, cache=True)(
                _rewritten(function, {})
            )
        finally:
            numba.config.CACHE_DIR = before


def _rewritten(function: Function | Callable[..., Any], known: dict[Function, Any]) -> Function:
    """A copy of a function whose names lead to compiled functions instead of plain ones."""
    assert isinstance(function, Function)
    names = dict(function.__globals__)
    for name, called in _called(function).items():
        if called not in known:
            known[called] = numba.njit(
                nogil=True,
                error_model="numpy",
                fastmath=_LAXER,
                no_cpython_wrapper=True,
                no_cfunc_wrapper=True,
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


def _folder(sources: Sequence[Path]) -> Path:
    """Where the machine code of these sources is kept."""
    code = hashlib.sha256(Path(__file__).read_bytes())
    for folder in sources:
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
