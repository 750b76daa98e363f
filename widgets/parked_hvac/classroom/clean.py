"""The marks that count: submissions scored in processes of their own from the files handed in."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from parked_hvac.assessment.cell import as_points, command
from parked_hvac.classroom.exercises import Exercise
from parked_hvac.classroom.guarded import Overrun, run_guarded
from parked_hvac.classroom.results import ExerciseMark
from parked_hvac.rig.kernel.engine import THREADS


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
    class_key: str | None
    """None believes the tickets: for trials, not for a class."""


def score_apart(work: Work, limits: Limits) -> list[ExerciseMark]:
    """A mark for each exercise of a submission, in order; refused with the reason where anything is odd."""
    try:
        asked = json.dumps(_request(work)).encode()
        replies = json.loads(run_guarded(command(), asked, limits.timeout_s, limits.memory_bytes))["replies"]
        if len(replies) != len(work.exercises):
            raise ValueError(f"{len(replies)} replies to {len(work.exercises)} exercises")
    except (Overrun, OSError, ValueError, KeyError, TypeError) as error:
        refused = {"state": "refused", "points": None, "reason": f"the judge gave no answer: {error}"}
        replies = [refused] * len(work.exercises)
    return _marks(work, replies)


def score_together(
    works: Sequence[Work], limits: Limits, workers: int, scored: Callable[[int, list[ExerciseMark]], None]
) -> None:
    """Tell ``scored`` the place and the marks of each of many submissions, which are as ``score_apart`` gives them.

    As many processes as there are workers share them, as what submissions share of an order is worked out once in each;
    who has done with their own share takes from the others'. The submission at which one fails gets a process for itself,
    so that it cannot spoil the others' marks.
    """
    answered: set[int] = set()
    begun: set[int] = set()

    def answer(place: int, found: list[ExerciseMark]) -> None:
        scored(place, found)
        answered.add(place)

    with (
        tempfile.TemporaryDirectory(prefix="together-", ignore_cleanup_errors=True) as common,
        ThreadPoolExecutor(max_workers=workers) as pool,
    ):

        def share(which: int) -> None:
            _Share(works, limits, {"share": (which, workers), "common": common}, begun, answer).work_off()

        for one in [pool.submit(share, which) for which in range(workers)]:
            one.result()
    for place in range(len(works)):
        if place not in answered:
            answer(place, score_apart(works[place], limits))


class _Share:
    """One process's part of many submissions; begun anew, without the one at which it failed, where it does."""

    def __init__(
        self,
        works: Sequence[Work],
        limits: Limits,
        part: Mapping[str, Any],
        taken: set[int],
        scored: Callable[[int, list[ExerciseMark]], None],
    ) -> None:
        self._works, self._limits, self._part, self._scored = works, limits, part, scored
        # Each process keeps to its own processors: several that each use all of them take longer.
        self._threads = {THREADS: str(max(1, (os.cpu_count() or 1) // part["share"][1]))}
        self._taken = taken
        """Places at which a process has begun, this one or another ..."""
        self._begun: int | None = None
        """... and the one that this is at."""

    def work_off(self) -> None:
        """Score the share. Where nothing can be made of what the process says, some are left unscored."""
        while len(self._taken) < len(self._works):
            try:
                self._ask()
                return
            except (Overrun, OSError, ValueError, KeyError, TypeError):
                if self._begun is None:
                    return
                self._scored(self._begun, score_apart(self._works[self._begun], self._limits))
                self._begun = None

    def _ask(self) -> None:
        asked = {"many": [_request(work) for work in self._works], **self._part}
        limits = self._limits
        run_guarded(
            command(),
            json.dumps(asked).encode(),
            limits.timeout_s,
            limits.memory_bytes,
            heard=self._hear,
            environment=self._threads,
        )
        if self._begun is not None:
            raise ValueError("the process ended amid an answer")

    def _hear(self, line: bytes) -> None:
        said = json.loads(line)
        place = said["place"]
        if "replies" in said:
            if self._begun is None or place != self._begun:
                raise ValueError(f"an answer about {place}, which was not begun")
            self._scored(place, _marks(self._works[place], said["replies"]))
            self._begun = None
            return
        if self._begun is not None or place in self._taken or place not in range(len(self._works)):
            raise ValueError(f"{place} is no submission that is still to be begun")
        self._taken.add(place)
        self._begun = place


def _request(work: Work) -> dict[str, Any]:
    return {
        "exercises": [
            {"scorer": exercise.scorer, "arguments": dict(exercise.arguments)} for exercise in work.exercises
        ],
        "folder": str(work.submitted),
        "learner": work.learner,
        "class_key": work.class_key,
        "debrief": True,
    }


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
