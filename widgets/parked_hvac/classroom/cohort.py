"""Grades a class in one go: clean marks first, then each notebook through nbgrader, then the books and pages.

No learner's code has run before every mark that counts is known, and none runs in a folder of the class.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from threading import Lock

from parked_hvac.classroom import gradebook
from parked_hvac.classroom.clean import Limits, Work, score_together
from parked_hvac.classroom.collect import TIMESTAMP, fingerprint
from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.exercises import Lesson, read_lesson
from parked_hvac.classroom.folder import ClassFolder, Settings
from parked_hvac.classroom.integrity import Broken, read_submitted, tampered
from parked_hvac.classroom.notebooks import run_apart
from parked_hvac.classroom.results import ExerciseMark, LessonMark, write_result

Say = Callable[[str], None]


def grade_class(
    folder: ClassFolder,
    say: Say,
    lessons: Sequence[str] = (),
    learners: Sequence[str] = (),
    workers: int = 2,
    limits: Limits | None = None,
) -> list[LessonMark]:
    """Grade every submission (or those of some lessons and learners) and fill the gradebook.

    Returns a mark for each learner and lesson asked for, handed in or not. Raises ClassError only for what
    concerns the class as a whole; whatever is wrong with a submission is in its mark.
    """
    settings, key, limits = folder.read_settings(), folder.read_key(), limits or Limits()
    chosen = _chosen(lessons, settings.lessons, "lesson")
    roster = _chosen(learners, [learner.id for learner in folder.read_roster()], "learner")
    read = {lesson: read_lesson(folder.sources / lesson) for lesson in chosen}
    marks = [_begun(folder, settings, learner, read[lesson]) for lesson in chosen for learner in roster]
    work = [mark for mark in marks if mark.handed_in]
    say(f"{len(work)} of {len(marks)} submissions are there")
    before = {id(mark): fingerprint(_place(folder, mark)) for mark in work}

    telling = _Telling(say, len(work))
    for lesson in chosen:
        same = [mark for mark in work if mark.lesson == lesson]
        _guarded(partial(_score, folder, same, read[lesson], key, limits, workers, telling), same)
    _run_notebooks(folder, [mark for mark in work if not mark.broken], limits, workers, say)
    for mark in work:
        if fingerprint(_place(folder, mark)) != before[id(mark)]:
            mark.flags.append(
                "what was handed in changed while the notebooks ran; the marks are from before."
            )
    with gradebook.opened(folder) as book:
        for lesson in chosen:
            gradebook.set_due(book, lesson, settings.due.get(lesson))
        for mark in work:
            gradebook.fill(book, mark)
    for mark in marks:
        write_result(folder, mark)
    return marks


def _chosen(wanted: Sequence[str], known: Sequence[str], kind: str) -> list[str]:
    for name in wanted:
        if name not in known:
            raise ClassError(f"This class has no {kind} {name!r}: choose from {', '.join(known)}.")
    return list(wanted or known)


def _place(folder: ClassFolder, mark: LessonMark) -> Path:
    return folder.submitted / mark.learner / mark.lesson


def _begun(folder: ClassFolder, settings: Settings, learner: str, lesson: Lesson) -> LessonMark:
    """A mark without points: what was handed in, and when."""
    waiting = [
        ExerciseMark(
            cell=exercise.cell,
            maximum=exercise.maximum,
            by_hand=exercise.by_hand,
            state="to mark" if exercise.by_hand else "refused",
        )
        for exercise in lesson.exercises
    ]
    mark = LessonMark(learner=learner, lesson=lesson.id, title=lesson.title, exercises=waiting)
    place = _place(folder, mark)
    if not place.is_dir():
        return mark
    received = _received(place)
    if received is None:
        received = datetime.fromtimestamp(place.stat().st_mtime, UTC)
        mark.flags.append(f"its {TIMESTAMP} is missing or unreadable; the folder's own time was taken.")
    mark.received = received.isoformat(timespec="seconds")
    if due := settings.due.get(lesson.id):
        mark.late_s = max(0.0, (received - datetime.fromisoformat(due).astimezone(UTC)).total_seconds())
        if mark.late_s:
            wanted = f"{datetime.fromisoformat(due):%Y-%m-%d %H:%M}"
            mark.late = f"late by {_span(mark.late_s)}, due {wanted}; no points were taken off."
    return mark


def _received(place: Path) -> datetime | None:
    try:
        text = (place / TIMESTAMP).read_text("ascii").strip()
        return datetime.strptime(text, "%Y-%m-%d %H:%M:%S UTC").replace(tzinfo=UTC)
    except (OSError, ValueError):
        return None


def _span(seconds: float) -> str:
    minutes = math.ceil(seconds / 60)
    days, hours = minutes // 1440, minutes % 1440 // 60
    return f"{days} d {hours} h" if days else f"{hours} h {minutes % 60} min"


class _Telling:
    """Says of each submission that something is done, numbered, from whichever thread."""

    def __init__(self, say: Say, whole: int) -> None:
        self._say, self._whole, self._number, self._lock = say, whole, 0, Lock()

    def done(self, mark: LessonMark, what: str) -> None:
        """One submission more."""
        with self._lock:
            self._number += 1
            state = "stopped" if mark.broken else what
            why = f" - {mark.broken}" if mark.broken else ""
            self._say(f"[{self._number}/{self._whole}] {state}: {mark.learner} {mark.lesson}{why}")


def _score(
    folder: ClassFolder,
    marks: Sequence[LessonMark],
    lesson: Lesson,
    key: str,
    limits: Limits,
    workers: int,
    telling: _Telling,
) -> None:
    """The marks that count for a lesson's submissions, and whether each notebook is one that may have them."""
    full = []
    for mark in marks:
        if any(path.is_file() and path.name != TIMESTAMP for path in _place(folder, mark).rglob("*")):
            full.append(mark)
        else:
            mark.broken = "the folder is empty; the work must be handed in again."
            for exercise in mark.exercises:  # nor is there a write-up to mark
                exercise.state = "refused"
            telling.done(mark, "scored")

    def scored(place: int, exercises: list[ExerciseMark]) -> None:
        mark = full[place]
        mark.exercises = exercises
        _guarded(partial(_check, folder, mark, lesson), [mark])
        telling.done(mark, "scored")

    work = [Work(lesson.exercises, _place(folder, mark), mark.learner, key) for mark in full]
    score_together(work, limits, max(1, min(workers, len(work))), scored)


def _check(folder: ClassFolder, mark: LessonMark, lesson: Lesson) -> None:
    """Take points back where the notebook's graded cells are not as they were handed out."""
    try:
        submitted = read_submitted(_place(folder, mark) / lesson.notebook)
    except Broken as broken:
        mark.broken = str(broken)
        return
    odd = tampered(submitted, folder.released / lesson.id / lesson.notebook, lesson)
    for exercise in mark.exercises:
        if exercise.cell in odd:
            exercise.flags.append(odd[exercise.cell])
            if not exercise.by_hand and exercise.points:
                exercise.flags.append(f"the attempt alone would have earned {exercise.points:g} points.")
                exercise.points = 0.0


def _run(folder: ClassFolder, mark: LessonMark, limits: Limits) -> None:
    """nbgrader's own run of the notebook, in a course folder that holds nothing of the class's."""
    reply = run_apart(folder, mark.learner, mark.lesson, limits)
    if not reply["ran"]:
        mark.broken = f"nbgrader could not run the notebook ({reply['reason']}); the folder must be handed in again as it was."
        return
    for exercise in mark.exercises:
        if exercise.by_hand or exercise.flags or exercise.cell not in reply["figures"]:
            continue
        exercise.notebook_points = reply["figures"][exercise.cell]
        clean = exercise.points or 0.0
        if exercise.notebook_points is None or abs(exercise.notebook_points - clean) > 0.005:
            exercise.flags.append(
                f"the notebook shows {exercise.notebook_points}, the clean figure {clean:g} counts."
            )


def _run_notebooks(
    folder: ClassFolder, marks: Sequence[LessonMark], limits: Limits, workers: int, say: Say
) -> None:
    """Each notebook through nbgrader, some at a time; what fails is marked broken, the rest go on."""
    telling = _Telling(say, len(marks))

    def one(mark: LessonMark) -> None:
        _guarded(partial(_run, folder, mark, limits), [mark])
        telling.done(mark, "notebook run")

    with ThreadPoolExecutor(max_workers=max(1, workers)) as pool:
        for done in [pool.submit(one, mark) for mark in marks]:
            done.result()


def _guarded(work: Callable[[], None], marks: Sequence[LessonMark]) -> None:
    """Do something; where it fails, these marks are broken and say so."""
    try:
        work()
    except Exception as error:
        for mark in marks:
            mark.broken = (
                f"grading it failed ({type(error).__name__}: {error}); the other submissions were graded."
            )
