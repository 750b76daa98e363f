"""The scorers that a notebook's grading cells call.

nbgrader gives full marks to a cell that ends with anything but a number and none to a cell that writes
to standard error. So a scorer always returns a float in [0, maximum], 0.0 with the reason printed
where anything is odd, and lets a process of its own do the work: nothing that the notebook did to its kernel
reaches the judge, and nothing that the judge's libraries warn about reaches the cell.

The marks that count are computed by the same process from the files handed in, away from any notebook.
"""

from __future__ import annotations

import contextlib
import json
import math
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from parked_hvac.assessment.kept import kept

TIMEOUT_S = 180.0
"""A judge that takes longer than this is stopped; the cell then earns nothing."""

_NO_ANSWER = "the judge gave no answer; run the cell again, then ask your instructor."


class Points(float):
    """Points as nbgrader reads them, a number in plain text; a person reads the sentence printed above it."""

    def _repr_html_(self) -> str:
        return "<span></span>"


def job_points(order: str, maximum: float) -> float:
    """Points in [0, maximum] for the attempt at a work order, in ORDER.jsonl beside the notebook."""
    return _points("job_points", {"order": order, "maximum": maximum})


def card_points(card: str, maximum: float) -> float:
    """Points in [0, maximum] for the verdicts on a colleague's card, in CARD.jsonl beside the notebook."""
    return _points("card_points", {"card": card, "maximum": maximum})


def show_write_up(order: str) -> None:
    """Print the write-up on the job card of an order, for the person who marks it."""
    # No points depend on it, so it needs no process of its own.
    from parked_hvac.assessment.apart import Submission, evaluate

    reply = evaluate("show_write_up", {"order": order}, Submission(Path()))
    lines = [f"{name}: {words}" for name, words in reply.get("text", {}).items()]
    print("\n".join(lines) or reply["reason"])


SCORERS: dict[str, Callable[..., float]] = {"job_points": job_points, "card_points": card_points}
"""What a grading cell may call."""


def command() -> list[str]:
    """How to start the process that scores; -I keeps the current folder and PYTHON variables out of it."""
    return [sys.executable, "-I", "-m", "parked_hvac.assessment.apart"]


def as_points(value: object, maximum: float) -> float:
    """A plain float in [0, maximum], to the hundredth. Raises ValueError for anything else."""
    if type(value) is not float or not math.isfinite(value) or not -1e-9 <= value <= maximum + 1e-9:
        raise ValueError(f"the judge gave {value!r} where a number from 0 to {maximum:g} belongs")
    return round(min(max(value, 0.0), float(maximum)), 2)


def _points(scorer: str, arguments: dict[str, Any]) -> Points:
    """The clean process's points; the reason is printed where they are missing."""
    points, reason = 0.0, _NO_ANSWER
    with contextlib.suppress(Exception), _told():
        reply = _asked_apart(scorer, arguments)
        points = 0.0 if reply["points"] is None else as_points(reply["points"], arguments["maximum"])
        reason = str(reply["reason"])
    # Whatever the printing meets, the cell must end with the number.
    with contextlib.suppress(Exception):
        print(f"{points:g} of {arguments['maximum']:g} points" + (f": {reason}" if reason else "."))
    return Points(points)


@contextlib.contextmanager
def _told() -> Iterator[None]:
    """Say in a notebook that the judge is at work; the line goes when it is done."""
    shell = sys.modules.get("IPython")
    if shell is None or shell.get_ipython() is None:
        yield
        return
    print("The judge replays the job. Once a cause is named this takes half a minute or more …", flush=True)
    try:
        yield
    finally:
        shell.display.clear_output(wait=True)


def _asked_apart(scorer: str, arguments: dict[str, Any]) -> dict[str, Any]:
    """The clean process's reply about the current folder, kept from before if nothing changed. Raises whatever goes wrong."""
    request = {"exercises": [{"scorer": scorer, "arguments": arguments}], "folder": os.getcwd()}

    def judged() -> dict[str, Any]:
        done = subprocess.run(
            command(), input=json.dumps(request).encode(), capture_output=True, timeout=TIMEOUT_S, check=True
        )
        reply: dict[str, Any] = json.loads(done.stdout)["replies"][0]
        return reply

    return kept(scorer, arguments, Path.cwd(), judged)
