"""Writes the marks that count into nbgrader's gradebook, and reads what a person gave there."""

from __future__ import annotations

import sys
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import Any

from parked_hvac.classroom.course import sqlite_url
from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.classroom.results import LessonMark


@contextmanager
def opened(folder: ClassFolder) -> Iterator[Any]:
    """The class's gradebook, closed afterwards."""
    sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]  # see course.py
    from nbgrader.api import Gradebook
    from sqlalchemy.exc import SAWarning

    gradebook = Gradebook(sqlite_url(folder.gradebook), "")
    try:
        with warnings.catch_warnings():
            # nbgrader builds its records in an order that SQLAlchemy 2.1 warns about and then takes.
            warnings.simplefilter("ignore", SAWarning)
            yield gradebook
    finally:
        gradebook.close()


def set_due(gradebook: Any, lesson: str, when: str | None) -> None:
    """Tell nbgrader when a lesson is due, which it keeps as UTC without a zone."""
    due = None if when is None else datetime.fromisoformat(when).astimezone(UTC).replace(tzinfo=None)
    gradebook.update_or_create_assignment(lesson, duedate=due)


def fill(gradebook: Any, mark: LessonMark) -> None:
    """Put one submission's marks into the gradebook; what a person gave there stays and takes precedence.

    A refused exercise has no score there and waits for a person, as a write-up does.
    """
    received = datetime.fromisoformat(mark.received).astimezone(UTC).replace(tzinfo=None)
    gradebook.update_or_create_submission(mark.lesson, mark.learner, timestamp=received)
    for exercise in mark.exercises:
        grade = gradebook.find_grade(exercise.cell, mark.lesson, mark.lesson, mark.learner)
        waits = exercise.points is None or bool(exercise.flags) or bool(mark.broken)
        grade.auto_score = None if mark.broken else exercise.points
        grade.needs_manual_grade = waits and grade.manual_score is None
    gradebook.db.commit()


def add_given(gradebook: Any, mark: LessonMark) -> None:
    """Take what a person gave in the gradebook into a mark: it counts, for write-ups and in place of ours."""
    from nbgrader.api import MissingEntry

    for exercise in mark.exercises:
        try:
            grade = gradebook.find_grade(exercise.cell, mark.lesson, mark.lesson, mark.learner)
        except MissingEntry:
            continue
        exercise.remark = _remark(gradebook, mark, exercise.cell)
        if grade.manual_score is None:
            continue
        given = float(grade.manual_score) + float(grade.extra_credit or 0.0)
        if not exercise.by_hand:
            exercise.given = f"a person gave {given:g} points in place of {_shown(exercise.points)}."
        exercise.points, exercise.state = given, "scored"


def give(gradebook: Any, mark: LessonMark, cell: str, points: float, remark: str) -> None:
    """Record what a person gave a learner for one cell."""
    grade = gradebook.find_grade(cell, mark.lesson, mark.lesson, mark.learner)
    grade.manual_score = points
    grade.needs_manual_grade = False
    comment = gradebook.find_comment(cell, mark.lesson, mark.lesson, mark.learner)
    comment.manual_comment = remark or None
    gradebook.db.commit()


def _remark(gradebook: Any, mark: LessonMark, cell: str) -> str:
    """What a person wrote beside a cell, ''."""
    from nbgrader.api import MissingEntry

    try:
        comment = gradebook.find_comment(cell, mark.lesson, mark.lesson, mark.learner)
    except MissingEntry:
        return ""
    return str(comment.manual_comment or "")


def _shown(points: float | None) -> str:
    return "none" if points is None else f"{points:g}"
