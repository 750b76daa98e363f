"""The commands of an instructor (and two of an author), for the roof to attach."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import datetime
from functools import wraps
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

import click

from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.folder import ClassFolder, parse_moment
from parked_hvac.job.errors import AttemptError, OrderError
from parked_hvac.tables import DataError

P = ParamSpec("P")
R = TypeVar("R")
_FOLDER = click.argument("folder", type=click.Path(path_type=Path, file_okay=False))


def _sentences(command: Callable[P, R]) -> Callable[P, R]:
    """Bad input ends with its sentence on standard error and status 2."""

    @wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except (ClassError, AttemptError, OrderError, DataError, OSError) as error:
            click.echo(str(error), err=True)
            raise SystemExit(2) from None

    return run


@click.group("class")
def class_group() -> None:
    """Run a class: make it, hand out, collect, grade, mark write-ups, export the marks."""


@class_group.command("new")
@_FOLDER
@click.option(
    "--roster", required=True, type=click.Path(path_type=Path), help="CSV with columns id, name, email."
)
@click.option("--encoding", help="Encoding of the roster if it is not Unicode, such as cp1252.")
@click.option(
    "--lesson", "lessons", multiple=True, help="A lesson of this class; all of them if none is named."
)
@click.option(
    "--due", "due", multiple=True, metavar="LESSON=WHEN", help="Such as lesson-04-…='2026-12-01 17:00'."
)
@_sentences
def new(
    folder: Path, roster: Path, encoding: str | None, lessons: tuple[str, ...], due: tuple[str, ...]
) -> None:
    """Make the class FOLDER: checked roster, class key, lessons as they are today, empty gradebook."""
    from parked_hvac.classroom.new import new_class
    from parked_hvac.classroom.roster import read_roster

    new_class(folder, read_roster(roster, encoding), click.echo, lessons, dict(map(_due, due)))


@class_group.command("hand-out")
@_FOLDER
@click.option("--learner", help="Only this learner.")
@_sentences
def hand_out_command(folder: Path, learner: str | None) -> None:
    """Make hand-out/LEARNER and LEARNER.zip for every learner; what is there already stays as it is."""
    from parked_hvac.classroom.handout import hand_out

    hand_out(ClassFolder(folder.resolve()), click.echo, learner)


@class_group.command("collect")
@_FOLDER
@click.argument("sources", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--received", metavar="WHEN", help="When it came in, such as '2026-12-01 16:40'; now if not given."
)
@_sentences
def collect_command(folder: Path, sources: tuple[Path, ...], received: str | None) -> None:
    """Take in SOURCES: learners' folders or zip archives, or a folder full of them.

    Ends with status 1 if anything was left out.
    """
    from parked_hvac.classroom.collect import collect

    moment = parse_moment(received) if received else datetime.now().astimezone()
    _end_with(collect(ClassFolder(folder.resolve()), sources, click.echo, moment))


@class_group.command("grade")
@_FOLDER
@click.option("--lesson", "lessons", multiple=True, help="Only this lesson.")
@click.option("--learner", "learners", multiple=True, help="Only this learner.")
@click.option(
    "--workers", default=2, show_default=True, type=click.IntRange(1, 64), help="Submissions at a time."
)
@click.option(
    "--timeout", default=900.0, show_default=True, type=click.FloatRange(1), help="Seconds per submission."
)
@click.option(
    "--memory", default=3000, show_default=True, type=click.IntRange(200), help="Megabytes per submission."
)
@_sentences
def grade_command(
    folder: Path,
    lessons: tuple[str, ...],
    learners: tuple[str, ...],
    workers: int,
    timeout: float,
    memory: int,
) -> None:
    """Grade what was collected; write gradebook, debriefs, class page and marks.

    Ends with status 1 if any submission needs a look.
    """
    from parked_hvac.classroom.clean import Limits
    from parked_hvac.classroom.cohort import grade_class

    place = ClassFolder(folder.resolve())
    grade_class(place, click.echo, lessons, learners, workers, Limits(timeout, memory * 1_000_000))
    marks = _write_everything(place)
    graded = [mark for mark in marks if mark.handed_in and (not learners or mark.learner in learners)]
    _end_with([f"{mark.learner} {mark.lesson}: {' '.join(mark.reasons)}" for mark in graded if mark.reasons])


@class_group.command("write-ups")
@_FOLDER
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="Where to write the table to fill in [FOLDER/write-ups.csv].",
)
@click.option("--take", type=click.Path(path_type=Path), help="A filled-in table, to go into the gradebook.")
@_sentences
def write_ups_command(folder: Path, out: Path | None, take: Path | None) -> None:
    """Mark write-ups by hand: write a table with the texts, or take the points of a filled-in one.

    nbgrader's own marking page does the same: run 'jupyter lab' in FOLDER, menu Nbgrader, Formgrader.
    """
    from parked_hvac.classroom.marks import current_marks, write_marks
    from parked_hvac.classroom.pages import write_rubric
    from parked_hvac.classroom.write_ups import table_text, take_back

    place = ClassFolder(folder.resolve())
    if take is not None:
        click.echo(f"took the points of {take_back(place, current_marks(place), take)} write-ups")
        _write_everything(place)
        return
    target = out or place.root / "write-ups.csv"
    if target.exists():
        raise ClassError(
            f"{target} is there already, perhaps with your marks in it: move it away or name another --out."
        )
    write_marks(target, table_text(current_marks(place)))
    sheet = place.root / "write-up-rubric.html"
    write_rubric(sheet)
    click.echo(f"wrote {sheet}: the rubric to mark by, for printing")
    click.echo(
        f"wrote {target}: fill in points and remark, then run 'class write-ups' again with --take {target}"
    )


@class_group.command("marks")
@_FOLDER
@click.option("--out", type=click.Path(path_type=Path), help="File to write [FOLDER/marks.csv].")
@_sentences
def marks_command(folder: Path, out: Path | None) -> None:
    """Export the marks as they stand now, hand-marked write-ups included."""
    _write_everything(ClassFolder(folder.resolve()), out)


@class_group.command("answers")
@click.argument("names", metavar="[ORDER]...", nargs=-1)
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), help="Write to this file, not to the screen."
)
@_sentences
def answers(names: tuple[str, ...], out: Path | None) -> None:
    """For authors: the best path for each cause of each ORDER (all if none is named), as a page in Markdown."""
    from parked_hvac.classroom.answers import answers_page
    from parked_hvac.job.order import order_named, orders

    by_lesson = sorted(orders().values(), key=lambda order: (order.lesson, order.id))
    chosen = [order_named(name) for name in names] or by_lesson
    count = sum(len(order.causes) for order in chosen)
    with click.progressbar(length=count, label="finding paths", file=sys.stderr) as bar:
        page = answers_page(chosen, lambda found: bar.update(1))
    if out is None:
        click.echo(page)
    else:
        out.write_text(page + "\n", encoding="utf-8")


@class_group.command("release")
@click.option(
    "--check", is_flag=True, help="Only tell whether lessons/ is what nbgrader makes of solutions/."
)
@_sentences
def release_command(check: bool) -> None:
    """For authors: make lessons/ from solutions/ with nbgrader, after a search for leaked answers."""
    from parked_hvac.classroom.release import differences, release

    if check:
        _end_with(differences())
        click.echo("lessons/ is what nbgrader makes of solutions/")
    else:
        release(click.echo)


def _write_everything(place: ClassFolder, out: Path | None = None) -> list[Any]:
    from parked_hvac.classroom.marks import current_marks, marks_text, write_marks
    from parked_hvac.classroom.pages import write_pages

    roster, marks = place.read_roster(), current_marks(place)
    write_pages(place, roster, marks)
    target = out or place.marks
    write_marks(target, marks_text(roster, marks))
    click.echo(f"wrote {target}, {place.class_page} and {place.debriefs}")
    return list(marks)


def _due(text: str) -> tuple[str, str]:
    lesson, equals, when = text.partition("=")
    if not equals:
        raise ClassError(
            f"--due {text!r}: write LESSON=WHEN, such as lesson-00-start-here='2026-12-01 17:00'."
        )
    return lesson, when


def _end_with(problems: list[str]) -> None:
    """Print what needs a person's look and end with status 1 if there is any."""
    for problem in problems:
        click.echo(problem, err=True)
    if problems:
        raise SystemExit(1)
