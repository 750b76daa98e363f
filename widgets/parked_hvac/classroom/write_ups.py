"""Hand-marking of write-ups: a table to fill in, with the text and the rubric, and back into the gradebook.

nbgrader's own form grading works, too (start JupyterLab in the class folder); this way needs no browser and
shows the text just as the attempt holds it.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator, Sequence
from pathlib import Path

from parked_hvac.classroom import gradebook
from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.classroom.marks import inert
from parked_hvac.classroom.results import ExerciseMark, LessonMark

COLUMNS = ("learner", "lesson", "cell", "maximum", "points", "remark", "complaint", "cause", "correction")


def table_text(marks: Sequence[LessonMark]) -> str:
    """CSV with a line per write-up to mark or marked; points and remark are for the person who marks."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for mark, exercise in _written(marks):
        points = "" if exercise.points is None else f"{exercise.points:g}"
        texts = [exercise.text.get(name, "") for name in COLUMNS[-3:]]
        row = [
            mark.learner,
            mark.lesson,
            exercise.cell,
            f"{exercise.maximum:g}",
            points,
            exercise.remark,
            *texts,
        ]
        writer.writerow(map(inert, row))
    return out.getvalue()


def take_back(folder: ClassFolder, marks: Sequence[LessonMark], path: Path) -> int:
    """Put the points and remarks of a filled-in table into the gradebook; returns how many.

    Raises ClassError for an unknown write-up or points outside 0 to maximum; nothing is taken then.
    """
    known = {
        (mark.learner, mark.lesson, exercise.cell): (mark, exercise) for mark, exercise in _written(marks)
    }
    given: list[tuple[LessonMark, ExerciseMark, float, str]] = []
    for number, row in _rows(path):
        place = (row["learner"], row["lesson"], row["cell"])
        if place not in known:
            raise ClassError(f"{path.name}, line {number}: there is no write-up {' / '.join(place)} to mark.")
        if not row["points"]:
            continue
        mark, exercise = known[place]
        given.append(
            (
                mark,
                exercise,
                _points(row["points"], exercise.maximum, f"{path.name}, line {number}"),
                row["remark"],
            )
        )
    with gradebook.opened(folder) as book:
        for mark, exercise, points, remark in given:
            gradebook.give(book, mark, exercise.cell, points, remark)
    return len(given)


def _written(marks: Sequence[LessonMark]) -> Iterator[tuple[LessonMark, ExerciseMark]]:
    for mark in marks:
        for exercise in mark.exercises:
            if exercise.by_hand and exercise.text and not mark.broken:
                yield mark, exercise


def _rows(path: Path) -> Iterator[tuple[int, dict[str, str]]]:
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise ClassError(f"Cannot read {path} ({error.strerror}): name the table you filled in.") from None
    except UnicodeError:
        raise ClassError(f"{path.name} is not UTF-8 text: save it as 'CSV UTF-8'.") from None
    delimiter = ";" if text.partition("\n")[0].count(";") > 3 else ","
    reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=delimiter)
    missing = [name for name in COLUMNS[:6] if name not in (reader.fieldnames or ())]
    if missing:
        raise ClassError(
            f"{path.name} lacks the columns {', '.join(missing)}: fill in the table as it was written."
        )
    for row in reader:
        yield reader.line_num, {name: (row.get(name) or "").strip().removeprefix("'") for name in COLUMNS[:6]}


def _points(text: str, maximum: float, where: str) -> float:
    try:
        points = float(text.replace(",", "."))
    except ValueError:
        points = math.nan
    if not 0.0 <= points <= maximum:
        raise ClassError(f"{where}: {text!r} is no number of points from 0 to {maximum:g}.")
    return points
