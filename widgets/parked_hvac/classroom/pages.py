"""The pages of a class: a debrief per learner to hand back and one page for the instructor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from importlib.resources import files
from pathlib import Path
from statistics import fmean, median

import jinja2
from markupsafe import Markup

from parked_hvac.assessment.profile import Level
from parked_hvac.assessment.rubric import write_up_rubric
from parked_hvac.classroom.exercises import WRITE_UP
from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.classroom.plot import candidates_plot
from parked_hvac.classroom.results import ExerciseMark, LessonMark
from parked_hvac.classroom.roster import Learner
from parked_hvac.classroom.skills_pages import class_skills, levels_of, skill_rows
from parked_hvac.job.order import orders
from parked_hvac.job.spoken import percent
from parked_hvac.whole_file import whole_file


@dataclass(frozen=True)
class LessonTable:
    """What the class page says about one lesson."""

    title: str
    maximum: float
    cells: tuple[str, ...]
    marks: tuple[LessonMark, ...]
    handed_in: int
    scored: int
    to_mark: int
    """Of those, how many still lack the points of a write-up."""
    median: float
    parts: tuple[tuple[str, float], ...]


def write_pages(folder: ClassFolder, roster: Sequence[Learner], marks: Sequence[LessonMark]) -> None:
    """Write debriefs/LEARNER.html and class-page.html, each replaced whole or not at all."""
    environment = _environment()
    folder.debriefs.mkdir(exist_ok=True)
    debrief = environment.get_template("debrief.html")
    levels: dict[str, tuple[Level, ...]] = {}
    for person in roster:
        theirs = [mark for mark in marks if mark.learner == person.id]
        levels[person.id] = levels_of(theirs)
        text = debrief.render(
            person=person, marks=theirs, class_name=folder.root.name, skills=skill_rows(levels[person.id])
        )
        _replace(folder.debriefs / f"{person.id}.html", text)
    lessons = dict.fromkeys(mark.lesson for mark in marks)
    page = environment.get_template("class-page.html").render(
        class_name=folder.root.name,
        people={person.id: person for person in roster},
        # What has no score comes first: it waits for the instructor.
        look=sorted((mark for mark in marks if mark.reasons), key=lambda mark: mark.total is not None),
        skills=class_skills(levels),
        lessons=[_table([mark for mark in marks if mark.lesson == lesson]) for lesson in lessons],
        now=datetime.now().astimezone().isoformat(),
    )
    _replace(folder.class_page, page)


def write_rubric(path: Path) -> None:
    """Write the rubric for write-ups as a page to print."""
    criteria = list(write_up_rubric().values())
    _replace(path, _environment().get_template("rubric.html").render(criteria=criteria))


def _table(marks: Sequence[LessonMark]) -> LessonTable:
    fullest = max(marks, key=lambda mark: len(mark.exercises))
    totals = [mark.total for mark in marks if mark.total is not None]
    shares: dict[str, list[float]] = {}
    for mark in marks:
        for exercise in mark.exercises:
            for part in (exercise.report or {}).get("parts", ()):
                shares.setdefault(part["title"], []).append(part["points"] / part["maximum"])
    return LessonTable(
        title=fullest.title,
        maximum=fullest.maximum,
        cells=tuple(exercise.cell for exercise in fullest.exercises),
        marks=tuple(marks),
        handed_in=sum(mark.handed_in for mark in marks),
        scored=len(totals),
        to_mark=sum(mark.total is not None and mark.to_mark > 0 for mark in marks),
        median=median(totals) if totals else 0.0,
        parts=tuple((title, fmean(values)) for title, values in shares.items()),
    )


def _environment() -> jinja2.Environment:
    """Templates that escape everything: names, reasons and write-ups are learners' text."""
    environment = jinja2.Environment(
        loader=jinja2.PackageLoader("parked_hvac.classroom", "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
    )
    sheet = files("parked_hvac.classroom").joinpath("templates/sheet.css").read_text("utf-8")
    # Our own style sheet is the one text that goes in as it is.
    environment.globals["sheet"] = Markup(sheet)
    environment.filters["points"] = _points
    environment.filters["moment"] = lambda text: f"{datetime.fromisoformat(text).astimezone():%Y-%m-%d %H:%M}"
    environment.filters["given"] = _given
    environment.filters["percent"] = percent
    environment.filters["plot"] = candidates_plot
    environment.filters["words"] = _words
    environment.filters["said"] = _said
    return environment


def _given(exercise: ExerciseMark) -> str:
    """Points of an exercise, or why there are none."""
    if exercise.points is None:
        return "to mark" if exercise.state == "to mark" else "no score"
    return _points(exercise.points)


def _points(points: float) -> str:
    # A tenth is as fine as a judge of people's work can be; marks.csv has the hundredths.
    return f"{points:.1f}".removesuffix(".0")


def _words(cell: str) -> str:
    """A graded cell's name as a heading: 'night-call-points' is the Night call, by the title of its order."""
    name = cell.removesuffix("-points").removesuffix(WRITE_UP)
    known = orders().get(name)
    title = name.replace("-", " ").capitalize() if known is None else known.title
    return title + (": write-up" if cell.endswith(WRITE_UP) else "")


def _said(reason: str) -> str:
    """A reason with the exercise's name as a heading has it: 'Night call: the first conclusion counts.'"""
    cell, colon, rest = reason.partition(": ")
    if colon and cell.endswith(("-points", WRITE_UP)):
        return f"{_words(cell)}: {rest}"
    return reason[:1].upper() + reason[1:]


def _replace(path: Path, text: str) -> None:
    with whole_file(path) as half:
        half.write_text(text, "utf-8")
