"""The marks as a table that any spreadsheet reads as it is meant."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from parked_hvac.classroom import gradebook
from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.classroom.results import LessonMark, read_result
from parked_hvac.classroom.roster import Learner
from parked_hvac.whole_file import whole_file

COLUMNS = (
    "learner",
    "name",
    "email",
    "lesson",
    "received",
    "late_h",
    "status",
    "total",
    "maximum",
    "reasons",
)


def current_marks(folder: ClassFolder) -> list[LessonMark]:
    """Marks of every learner and lesson as they stand now, with what a person gave in the gradebook."""
    settings = folder.read_settings()
    marks: list[LessonMark] = []
    with gradebook.opened(folder) as book:
        for learner in folder.read_roster():
            for lesson in settings.lessons:
                mark = read_result(folder, learner.id, lesson)
                if mark is None:
                    mark = LessonMark(learner=learner.id, lesson=lesson, title=lesson)
                elif mark.handed_in:
                    gradebook.add_given(book, mark)
                marks.append(mark)
    return marks


def marks_text(roster: Sequence[Learner], marks: Sequence[LessonMark]) -> str:
    """CSV with a header line: one line per learner and lesson; no total where there is no score."""
    people = {learner.id: learner for learner in roster}
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for mark in marks:
        person = people.get(mark.learner, Learner(mark.learner, ""))
        received = datetime.fromisoformat(mark.received).isoformat(" ") if mark.received else ""
        writer.writerow(
            inert(text)
            for text in (
                person.id,
                person.name,
                person.email,
                mark.lesson,
                received,
                f"{mark.late_s / 3600:.1f}" if mark.late_s else "",
                mark.status,
                "" if mark.total is None else f"{mark.total:.2f}",
                f"{mark.maximum:g}" if mark.exercises else "",
                " ".join(mark.reasons),
            )
        )
    return out.getvalue()


def write_marks(path: Path, text: str) -> None:
    """Write the table whole or not at all, with the mark by which spreadsheets know UTF-8."""
    with whole_file(path) as half:
        half.write_bytes(text.encode("utf-8-sig"))


def inert(text: str) -> str:
    """A cell that a spreadsheet shows and does not compute: names and file names are learners' text."""
    return "'" + text if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text
