"""The marks that count: each submission scored in a process of its own from the files handed in."""

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


def score_apart(
    exercises: Sequence[Exercise], submitted: Path, learner: str, class_key: str, limits: Limits
) -> list[ExerciseMark]:
    """A mark for each exercise of a submission, in order; refused with the reason where anything is odd."""
    request = {
        "exercises": [
            {"scorer": exercise.scorer, "arguments": dict(exercise.arguments)} for exercise in exercises
        ],
        "folder": str(submitted),
        "learner": learner,
        "class_key": class_key,
        "debrief": True,
    }
    try:
        answer = run_guarded(command(), json.dumps(request).encode(), limits.timeout_s, limits.memory_bytes)
        replies = json.loads(answer)["replies"]
        if len(replies) != len(exercises):
            raise ValueError(f"{len(replies)} replies to {len(exercises)} exercises")
    except (Overrun, OSError, ValueError, KeyError, TypeError) as error:
        replies = [
            {"state": "refused", "points": None, "reason": f"the judge gave no answer: {error}"}
        ] * len(exercises)
    return [_mark(exercise, reply) for exercise, reply in zip(exercises, replies, strict=True)]


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
