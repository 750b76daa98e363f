"""Hands out: a folder and an archive per learner, with the lessons and tickets of that learner's variants."""

from __future__ import annotations

import os
import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.classroom.roster import Learner
from parked_hvac.job.order import Order, orders
from parked_hvac.job.seal import HAND_OUT_NAME, issue_hand_out, write_hand_out
from parked_hvac.whole_file import whole_file


def hand_out(folder: ClassFolder, say: Callable[[str], None], only: str | None = None) -> None:
    """Make what is not there yet below hand-out/: LEARNER/LESSON/ and LEARNER.zip. Never overwrites.

    Raises ClassError for an unknown learner or a key that cannot be used.
    """
    settings, key = folder.read_settings(), folder.read_key()
    roster = folder.read_roster()
    chosen = [learner for learner in roster if only in (None, learner.id)]
    if not chosen:
        raise ClassError(f"The roster has no learner {only!r}: use an id from {folder.roster}.")
    for learner in chosen:
        made = [lesson for lesson in settings.lessons if _hand_out_lesson(folder, learner, lesson, key)]
        archive = folder.hand_out / f"{learner.id}.zip"
        if not archive.exists():
            made = list(settings.lessons)
        elif made:
            # A lesson was added after the first hand-out, whose archive may be with the learner already.
            archive = archive.with_stem("-".join([learner.id, *map(number_of, made)]))
        if made:
            _pack(folder.hand_out / learner.id, made, archive)
            say(f"{learner.id}: {_count(made)} in {archive.name}")
        else:
            say(f"{learner.id}: handed out before, left as it is")


def orders_of(lesson: str) -> list[Order]:
    """The work orders that belong to a lesson; its number stands in its id and in the order's data."""
    return [order for order in orders().values() if order.lesson == number_of(lesson)]


def number_of(lesson: str) -> str:
    """'04' of 'lesson-04-power-on-its-way'; a lesson without a number, such as the refresher, is its own."""
    words = lesson.split("-")
    return words[1] if len(words) > 1 and words[1].isdecimal() else lesson


def _hand_out_lesson(folder: ClassFolder, learner: Learner, lesson: str, key: str) -> bool:
    target = folder.hand_out / learner.id / lesson
    if target.exists():
        return False
    # Made beside and moved into place whole: a later run would skip the half that a broken one left.
    scratch = folder.hand_out / f".{learner.id}-{lesson}"
    if scratch.exists():
        shutil.rmtree(scratch)
    shutil.copytree(folder.released / lesson, scratch)
    issued = issue_hand_out(folder.root.name, learner.id, orders_of(lesson), key)
    write_hand_out(issued, scratch / HAND_OUT_NAME)
    target.parent.mkdir(parents=True, exist_ok=True)
    os.replace(scratch, target)
    return True


def _count(lessons: list[str]) -> str:
    return lessons[0] if len(lessons) == 1 else f"{len(lessons)} lessons"


def _pack(root: Path, lessons: list[str], archive: Path) -> None:
    with whole_file(archive) as half, zipfile.ZipFile(half, "w", zipfile.ZIP_DEFLATED) as packed:
        for lesson in lessons:
            for path in sorted((root / lesson).rglob("*")):
                if path.is_file():
                    packed.write(path, f"{root.name}/{path.relative_to(root).as_posix()}")
