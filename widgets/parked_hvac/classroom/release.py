"""Makes lessons/ from solutions/ with nbgrader, or tells whether it is what nbgrader makes."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

from parked_hvac.classroom.course import REPOSITORY, course_api, generate, lesson_ids, sources
from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.leaks import PICTURES, leaks


def release(say: Callable[[str], None], source: Path | None = None, lessons: Path | None = None) -> None:
    """Write every lesson anew, once none of them leaks anything.

    Raises ClassError with all that leaks; lessons/ is then as it was.
    """
    source, lessons = source or sources(), lessons or REPOSITORY / "lessons"
    with tempfile.TemporaryDirectory(prefix="lessons-") as scratch:
        made = make_all(source, Path(scratch))
        for lesson in lesson_ids(made):
            _replace(made / lesson, lessons / lesson)
            say(f"released {lesson}")
    for orphan in sorted(set(lesson_ids(lessons)) - set(lesson_ids(source))):
        say(f"lessons/{orphan} has no source any more: remove it.")


def differences(source: Path | None = None, lessons: Path | None = None) -> list[str]:
    """Sentences about each file of lessons/ that is not byte for byte what nbgrader makes of solutions/."""
    source, lessons = source or sources(), lessons or REPOSITORY / "lessons"
    with tempfile.TemporaryDirectory(prefix="lessons-") as scratch:
        made = make_all(source, Path(scratch))
        fresh, kept = _files(made, lesson_ids(made)), _files(lessons, _folders(lessons))
    return [
        f"lessons/{name} is not what nbgrader makes of solutions/: run 'parked-hvac class release'."
        for name in sorted(fresh.keys() | kept.keys())
        if fresh.get(name) != kept.get(name)
    ]


def make_all(source: Path, scratch: Path) -> Path:
    """Release every lesson below ``scratch`` and look for leaks. Raises ClassError with all that leaks."""
    lessons = scratch / "lessons"
    api = course_api(scratch, None, source, lessons)
    found: list[str] = []
    for lesson in lesson_ids(source):
        generate(api, lesson)
        found += leaks(source / lesson, lessons / lesson)
    if found:
        raise ClassError("Nothing was released, since learners would get to see: " + " ".join(found))
    return lessons


def _replace(made: Path, target: Path) -> None:
    """Put a lesson's files in place; an attempt that someone keeps in that folder stays untouched."""
    target.mkdir(parents=True, exist_ok=True)
    for path in target.rglob("*"):
        if path.is_file() and path.suffix in PICTURES and not (made / path.relative_to(target)).exists():
            path.unlink()
    shutil.copytree(made, target, dirs_exist_ok=True)


def _folders(lessons: Path) -> tuple[str, ...]:
    """Folders of lessons/ that hold a notebook; the start page and other plain files are nobody's release."""
    return tuple(
        sorted(path.name for path in lessons.iterdir() if path.is_dir() and any(path.glob("*.ipynb")))
    )


def _files(root: Path, folders: tuple[str, ...]) -> dict[str, bytes]:
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for folder in folders
        for path in sorted((root / folder).rglob("*"))
        if path.is_file()
        and not {".ipynb_checkpoints"} & set(path.parts)
        and path.suffix in {".ipynb", *PICTURES}
    }
