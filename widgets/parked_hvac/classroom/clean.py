"""The marks that count: submissions scored in processes of their own from the files handed in."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from parked_hvac.assessment.cell import as_points, command
from parked_hvac.classroom.exercises import Exercise
from parked_hvac.classroom.guarded import Overrun, run_guarded
from parked_hvac.classroom.results import ExerciseMark


@dataclass(frozen=True)
class Limits:
    """What one submission may take before it is ended."""

    timeout_s: float = 900.0
    cell_s: float = 240.0
    """One cell of the notebook; it is then interrupted and the cells after it still run."""
    memory_bytes: int = 3_000_000_000


@dataclass(frozen=True)
class Work:
    """What one learner handed in for a lesson, and what is to be scored of it."""

    exercises: Sequence[Exercise]
    submitted: Path
    learner: str
    class_key: str


BATCH = 40
"""Submissions that one process scores, one after the other: what they share of an order is worked out once for all."""


def score_apart(work: Work, limits: Limits) -> list[ExerciseMark]:
    """A mark for each exercise of a submission, in order; refused with the reason where anything is odd."""
    try:
        (replies,) = _asked([work], limits)
    except (Overrun, OSError, ValueError, KeyError, TypeError) as error:
        refused = {"state": "refused", "points": None, "reason": f"the judge gave no answer: {error}"}
        replies = [refused] * len(work.exercises)
    return _marks(work, replies)


def score_together(batch: Sequence[Work], limits: Limits) -> list[list[ExerciseMark]]:
    """Marks for each of several submissions, scored by one process of their own; as ``score_apart`` gives them.

    Where that process fails, each submission gets one for itself, so that none can spoil the others' marks.
    """
    try:
        return [_marks(work, found) for work, found in zip(batch, _asked(batch, limits), strict=True)]
    except (Overrun, OSError, ValueError, KeyError, TypeError):
        return [score_apart(work, limits) for work in batch]


def _asked(batch: Sequence[Work], limits: Limits) -> list[list[dict[str, Any]]]:
    """The process's replies to each exercise of each submission. Raises where it does not answer all."""
    requests = [
        {
            "exercises": [
                {"scorer": exercise.scorer, "arguments": dict(exercise.arguments)}
                for exercise in work.exercises
            ],
            "folder": str(work.submitted),
            "learner": work.learner,
            "class_key": work.class_key,
            "debrief": True,
        }
        for work in batch
    ]
    asked = json.dumps({"many": requests}).encode()
    answer = run_guarded(command(), asked, limits.timeout_s, limits.memory_bytes)
    replies: list[list[dict[str, Any]]] = [one["replies"] for one in json.loads(answer)["many"]]
    if [len(one) for one in replies] != [len(work.exercises) for work in batch]:
        raise ValueError(f"{[len(one) for one in replies]} replies to {len(batch)} submissions")
    return replies


def _marks(work: Work, replies: Sequence[dict[str, Any]]) -> list[ExerciseMark]:
    return [_mark(exercise, reply) for exercise, reply in zip(work.exercises, replies, strict=True)]


def _mark(exercise: Exercise, reply: dict[str, Any]) -> ExerciseMark:
    """A reply as a mark, checked once more on this side of the pipe; what is odd stays refused."""
    mark = ExerciseMark(cell=exercise.cell, maximum=exercise.maximum, by_hand=exercise.by_hand)
    mark.reason = str(reply.get("reason", ""))
    state = reply.get("state")
    try:
        if exercise.by_hand and state == "to mark":
            mark.text = {str(name): str(words) for name, words in reply["text"].items()}
            mark.state = "to mark"
        elif state == "absent" or (state == "scored" and not exercise.by_hand):
            mark.points = as_points(reply.get("points"), exercise.maximum)
            mark.state = "absent" if state == "absent" else "scored"
            mark.report = reply.get("report")
    except (ValueError, KeyError, AttributeError) as error:
        mark.reason = f"{error}."
    if mark.state == "refused" and not mark.reason:
        mark.reason = "the judge refused it without a reason."
    return mark
