"""The learner's course folder: their own copies of the lessons, never written over."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from lab.trouble import Trouble, write_trouble

Say = Callable[[str], None]

VARIABLE = "PARKED_HVAC_COURSE"
STATE = ".parked-hvac"  # what the commands remember; nothing of the learner's work lies there
NAMES = ("lesson-*", "refresher*")
LEFT_BEHIND = {".ipynb_checkpoints", "__pycache__"}


def course_folder(named: str | None, repository: Path) -> Path:
    """Where the learner works: as named, else PARKED_HVAC_COURSE, else parked-hvac-course in their home.

    Raises Trouble where that lies inside the lessons as released, which stay as they are.
    """
    chosen = named or os.environ.get(VARIABLE)
    folder = Path(chosen).expanduser() if chosen else Path.home() / "parked-hvac-course"
    folder = folder.resolve()
    for kept in ("lessons", "solutions"):
        if folder == repository or folder.is_relative_to(repository / kept):
            raise Trouble(
                f"{folder} belongs to the course as released: name a folder of your own with --course PATH."
            )
    return folder


def lay_out(lessons: Path, course: Path, say: Say) -> None:
    """Copy each released lesson that the course folder does not have yet.

    A lesson that was released anew since it was copied is laid beside the learner's copy under a new
    name. Raises Trouble where there are no lessons or the folder cannot be written.
    """
    released = _lessons(lessons)
    if not released:
        raise Trouble(
            f"There are no lessons in {lessons}: this copy of the course is incomplete, fetch it again."
        )
    try:
        (course / STATE).mkdir(parents=True, exist_ok=True)
        record = course / STATE / "lessons.json"
        known = _read(record)
        for lesson in released:
            _lay(lesson, course, known, say)
            _write(record, known)
    except OSError as error:
        remedy = "name a folder of your own with --course PATH"
        raise write_trouble("write your course folder", course, error, remedy) from error


def start_page(course: Path) -> Path:
    """First notebook of the newest copy of the first lesson."""
    copies = _lessons(course)
    if not copies:
        raise Trouble(f"There is no lesson in {course}: remove {course / STATE} and start again.")
    first = min(_name(folder) for folder in copies)
    newest = max((folder for folder in copies if _name(folder) == first), key=_revision)
    return min(newest.glob("*.ipynb"))


def _lessons(folder: Path) -> list[Path]:
    """Folders of lessons, and of the refresher, that hold a notebook; by name."""
    found = (path for pattern in NAMES for path in folder.glob(pattern))
    return sorted(path for path in found if any(path.glob("*.ipynb")))


def _lay(lesson: Path, course: Path, known: dict[str, Any], say: Say) -> None:
    digest = _digest(lesson)
    own = course / lesson.name
    if known.get(lesson.name) == digest and own.exists():
        return
    if not own.exists():
        _copy(lesson, own)
    elif lesson.name in known and known[lesson.name] != digest:
        beside = _free_name(own)
        _copy(lesson, beside)
        say(f"{lesson.name} was released anew: your own copy stays as it is, the new one is {beside.name}.")
    # Else it came by another way, such as a hand-out of the class: it is the learner's, and only noted.
    known[lesson.name] = digest


def _copy(lesson: Path, to: Path) -> None:
    """All or nothing: a copy that was cut short never passes for the learner's own."""
    incoming = to.parent / STATE / "incoming"
    if incoming.exists():
        shutil.rmtree(incoming)
    for path in _files(lesson):
        copy = incoming / path.relative_to(lesson)
        copy.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(path, copy)  # without the mode: a read-only release gives a copy to write in
    incoming.rename(to)


def _free_name(own: Path) -> Path:
    number = 2
    while (beside := own.with_name(f"{own.name}.{number}")).exists():
        number += 1
    return beside


def _name(folder: Path) -> str:
    return folder.name.partition(".")[0]


def _revision(folder: Path) -> int:
    number = folder.name.partition(".")[2]
    return int(number) if number.isdecimal() else 1


def _files(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.rglob("*")):
        if path.is_file() and not LEFT_BEHIND.intersection(path.relative_to(folder).parts):
            yield path


def _digest(folder: Path) -> str:
    digest = hashlib.sha256()
    for path in _files(folder):
        digest.update(path.relative_to(folder).as_posix().encode() + b"\0")
        digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()


def _read(record: Path) -> dict[str, Any]:
    """What was copied so far; a damaged note counts as none, for every folder there is kept anyway."""
    try:
        known = json.loads(record.read_text(encoding="utf-8"))
    except (FileNotFoundError, ValueError):
        return {}
    return known if isinstance(known, dict) else {}


def _write(record: Path, known: dict[str, Any]) -> None:
    fresh = record.with_suffix(".new")
    fresh.write_text(json.dumps(known, indent=1, sort_keys=True) + "\n", encoding="utf-8")
    fresh.replace(record)
