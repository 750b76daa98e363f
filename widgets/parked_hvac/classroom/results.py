"""The marks that count: one file per submission, written by the cohort run, read by pages and tables."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Literal

import msgspec

from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.whole_file import whole_file

FORMAT = 1


class ExerciseMark(msgspec.Struct, kw_only=True):
    """One graded cell of one learner."""

    cell: str
    maximum: float
    by_hand: bool = False
    state: Literal["scored", "absent", "refused", "to mark"] = "refused"
    points: float | None = None
    """None where nothing may be given: refused, or a person has not marked it yet."""
    reason: str = ""
    notebook_points: float | None = None
    """What the learner's own notebook showed when nbgrader ran it."""
    flags: list[str] = []
    given: str = ""
    """A sentence where a person gave points in place of the judge's: then nobody needs to look any more."""
    text: dict[str, str] = {}
    """What a person marks: complaint, cause, correction."""
    remark: str = ""
    """What a person wrote beside it."""
    report: dict[str, Any] | None = None
    """The judge's debrief as data, for the pages."""


class LessonMark(msgspec.Struct, kw_only=True):
    """One submission: a learner's work on a lesson."""

    format: int = FORMAT
    learner: str
    lesson: str
    title: str
    received: str = ""
    late_s: float = 0.0
    late: str = ""
    """A sentence where it came in after it was due."""
    broken: str = ""
    """Why the submission as a whole cannot be graded; '' where it can."""
    exercises: list[ExerciseMark] = []
    flags: list[str] = []

    @property
    def handed_in(self) -> bool:
        """Whether there is a submission at all."""
        return bool(self.received)

    @property
    def maximum(self) -> float:
        """Points to be had."""
        return sum(exercise.maximum for exercise in self.exercises)

    @property
    def total(self) -> float | None:
        """Points so far, or None where something was refused: a crash must not look like an honest zero."""
        if not self.handed_in or self.broken or any(mark.state == "refused" for mark in self.exercises):
            return None
        return round(sum(mark.points or 0.0 for mark in self.exercises), 2)

    @property
    def to_mark(self) -> float:
        """Points that a person has yet to give."""
        return sum(mark.maximum for mark in self.exercises if mark.state == "to mark")

    @property
    def status(self) -> str:
        """In words: not handed in, broken, needs a look, incomplete, write-up to mark, graded."""
        if not self.handed_in:
            return "not handed in"
        if self.broken:
            return "broken"
        if self.total is None or self.flags or any(mark.flags and not mark.given for mark in self.exercises):
            return "needs a look"
        if any(mark.state == "absent" for mark in self.exercises):
            return "incomplete"
        if any(mark.state == "to mark" for mark in self.exercises):
            return "write-up to mark"
        return "graded"

    @property
    def reasons(self) -> list[str]:
        """Everything an instructor should look at, in sentences."""
        found = [self.broken] if self.broken else []
        for mark in self.exercises:
            if mark.given:
                continue
            # What is wrong with a file stands once, not at its write-up as well.
            told = any(line.endswith(f": {mark.reason}") for line in found)
            found += (
                [f"{mark.cell}: {mark.reason}"]
                if mark.reason and mark.state != "to mark" and not told
                else []
            )
            found += [f"{mark.cell}: {flag}" for flag in mark.flags]
            found += [f"{mark.cell}: {notice}" for notice in (mark.report or {}).get("notices", ())]
        return [*found, *self.flags, *([self.late] if self.late else [])]


def write_result(folder: ClassFolder, mark: LessonMark) -> None:
    """Keep a mark; the file is replaced whole or not at all."""
    path = folder.results / mark.learner / f"{mark.lesson}.json"
    path.parent.mkdir(parents=True, exist_ok=True)
    with whole_file(path) as half:
        half.write_bytes(msgspec.json.format(msgspec.json.encode(mark), indent=1) + b"\n")


def read_result(folder: ClassFolder, learner: str, lesson: str) -> LessonMark | None:
    """The mark of a submission, None where it was not graded yet. Raises ClassError for a damaged file."""
    path = folder.results / learner / f"{lesson}.json"
    if not path.is_file():
        return None
    return _decode(path)


def _decode(path: Path) -> LessonMark:
    try:
        mark = msgspec.json.decode(path.read_bytes(), type=LessonMark)
    except msgspec.DecodeError as error:
        raise ClassError(f"{path} is damaged ({error}): run 'parked-hvac class grade' again.") from None
    if mark.format != FORMAT:
        raise ClassError(
            f"{path} has format {mark.format}, this course writes {FORMAT}: grade the class again."
        )
    return mark
