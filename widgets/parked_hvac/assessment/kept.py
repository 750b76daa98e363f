"""Points of jobs already judged, so that a lesson run again does not wait for the judge again.

For a learner's own eyes: a mark is made by the class's own judge, which never looks here, and nothing is kept or taken while
nbgrader runs a notebook. The replies lie in the state folder that the launcher names; without one every job is judged anew.
The name of a reply is a digest of all that it hangs on, so a changed attempt, course or library asks for a new judgement.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import math
import os
import sys
from collections.abc import Callable, Iterator
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from parked_hvac.places import data_dir
from parked_hvac.whole_file import whole_file

STATE = "PARKED_HVAC_STATE"
"""Variable of the environment with the folder for what a launched course keeps."""
_GRADING = "NBGRADER_EXECUTION"
_LIBRARIES = ("numpy", "numba")
_NAMES = ("state", "points", "reason")

Reply = dict[str, Any]


def kept(scorer: str, arguments: Reply, folder: Path, judge: Callable[[], Reply]) -> Reply:
    """The reply to a grading cell: as kept for the very same files, or as ``judge`` gives it now."""
    before = _place(scorer, arguments, folder)
    if before is not None and (found := _read(before)) is not None:
        return found
    reply = judge()
    # An attempt written to while the judge was at work belongs to no reply.
    if before is not None and _is_score(reply) and before == _place(scorer, arguments, folder):
        _write(before, {name: reply[name] for name in _NAMES})
    return reply


def _place(scorer: str, arguments: Reply, folder: Path) -> Path | None:
    """Where the reply about a folder as it is now would lie; None where nothing is to be kept."""
    state = os.environ.get(STATE)
    if not state or _GRADING in os.environ:
        return None
    whole = hashlib.sha256(_course().encode())
    try:
        whole.update(json.dumps([scorer, arguments], sort_keys=True).encode())
        for path in _told_of(arguments, folder):
            whole.update(f"{path.name} {path.is_symlink()} {path.stat().st_size} ".encode())
            whole.update(path.read_bytes())
    except (OSError, TypeError, ValueError):
        return None
    return Path(state) / "judged" / f"{whole.hexdigest()[:32]}.json"


def _told_of(arguments: Reply, folder: Path) -> list[Path]:
    """The files that a reply hangs on: hand-out, choice of orders and the attempt asked for; all where none has its name."""
    named = [folder / f"{arguments[key]}.jsonl" for key in ("order", "card") if key in arguments]
    attempts = named if named and all(path.is_file() for path in named) else sorted(folder.glob("*.jsonl"))
    return [*sorted(folder.glob("*.json")), *attempts]


@cache
def _course() -> str:
    """Digest of the package's code, the course's data, and what computes with them."""
    whole = hashlib.sha256(" ".join([sys.version, *(version(name) for name in _LIBRARIES)]).encode())
    package = Path(__file__).resolve().parents[1]
    for top, path in _sources(package, data_dir()):
        whole.update(path.relative_to(top).as_posix().encode())
        whole.update(path.read_bytes())
    return whole.hexdigest()


def _sources(package: Path, data: Path) -> Iterator[tuple[Path, Path]]:
    for top, pattern in ((package, "*.py"), (data, "*.*")):
        for path in sorted(top.rglob(pattern)):
            if path.is_file():
                yield top, path


def _is_score(reply: Reply) -> bool:
    return (
        reply.get("state") == "scored"
        and type(reply.get("points")) is float
        and math.isfinite(reply["points"])
    )


def _read(place: Path) -> Reply | None:
    with contextlib.suppress(OSError, ValueError):
        found = json.loads(place.read_bytes()[:4096])
        if isinstance(found, dict) and found.keys() == set(_NAMES) and _is_score(found):
            return found
    return None


def _write(place: Path, reply: Reply) -> None:
    """Whole or not at all; where it cannot be kept, the judge is asked again next time."""
    with contextlib.suppress(OSError):
        place.parent.mkdir(parents=True, exist_ok=True)
        with whole_file(place) as half:
            half.write_text(json.dumps(reply), encoding="utf-8")
