"""Open the bench in a notebook: a new attempt, or the one that lies beside the notebook."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from parked_hvac.bench.guide import FIRST_STEPS, Prompt
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench
from parked_hvac.job.attempt import Attempt, resume, start
from parked_hvac.job.errors import AttemptError, OrderError
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import SELF_STUDY, holder
from parked_hvac.tables import DataError

GRADING = "NBGRADER_EXECUTION"
"""nbgrader sets it while it runs a notebook anew; no attempt may begin then."""

_open: dict[Path, Bench] = {}
"""The bench of each attempt file in this kernel; a cell run again takes the place of the earlier one."""


def bench(
    order_id: str,
    path: Path | str | None = None,
    learner: str | None = None,
    guided: bool = False,
    guide: Sequence[Prompt] = (),
) -> Bench | Summary | Notice:
    """Open the bench for a work order; as the last line of a cell it shows itself.

    ``path``: attempt file (default ORDER.jsonl in the notebook's folder), resumed if it is there.
    ``learner``: default the one of hand-out.json in the folder, else 'self-study'. ``guided`` adds the
    prompts for newcomers, ``guide`` those of a lesson. Never raises for a wrong name or a damaged file: the
    sentence is shown. While nbgrader runs the notebook it gives a static summary and begins nothing.
    """
    file = Path(path) if path is not None else Path(f"{order_id}.jsonl")
    try:
        if GRADING in os.environ:
            return Summary(resume(file)) if _has_work(file) else Notice(f"No attempt at {order_id!r} yet.")
        attempt = _attempt(order_id, file, learner)
    except (AttemptError, OrderError, DataError, OSError) as error:
        return Notice(str(error))
    earlier = _open.pop(file.resolve(), None)
    if earlier is not None:
        earlier.retire()
    made = Bench(attempt, (*(FIRST_STEPS if guided else ()), *guide))
    _open[file.resolve()] = made
    return made


def _attempt(order_id: str, file: Path, learner: str | None) -> Attempt:
    order = order_named(order_id)
    if _has_work(file):
        attempt = resume(file)
        if attempt.order.id != order.id:
            raise AttemptError(
                f"{file} holds an attempt at {attempt.order.id!r}, not at {order.id!r}: give another path, "
                f"or run bench({attempt.order.id!r})."
            )
        return attempt
    return start(order.id, learner or holder(file.parent) or SELF_STUDY, file)


def _has_work(file: Path) -> bool:
    return file.exists() and file.stat().st_size > 0
