"""Takes in what learners handed in: folders and archives of any arrangement, sorted by learner and lesson."""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from parked_hvac.classroom.archive import unpack
from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.job.errors import AttemptError
from parked_hvac.job.seal import HAND_OUT_NAME, read_hand_out

KEPT = {".ipynb", ".jsonl", ".json"}
"""What a lesson's folder is made of; other files are named and left out."""

TIMESTAMP = "timestamp.txt"


@dataclass(frozen=True)
class Found:
    """A lesson's folder somewhere in a source, and what the names around it say about whose it is."""

    folder: Path
    lesson: str
    hints: tuple[str, ...]
    source: str


def collect(
    folder: ClassFolder, sources: Sequence[Path], say: Callable[[str], None], received: datetime | None = None
) -> list[str]:
    """Copy each handed-in lesson to submitted/LEARNER/LESSON; returns a sentence per thing not taken.

    ``received`` is when it came in (now, if not given). An earlier submission is moved to
    submitted-earlier/, never overwritten; the sources stay as they are.
    """
    settings = folder.read_settings()
    roster = {learner.id: learner for learner in folder.read_roster()}
    received = received or datetime.now().astimezone()
    problems: list[str] = []
    with tempfile.TemporaryDirectory(prefix="collect-") as scratch:
        found: list[Found] = []
        for source in sources:
            here = _look(source, Path(scratch), settings.lessons, (), source.name, problems)
            found += here
            problems += [
                f"{name} holds no folder named after a lesson, such as {settings.lessons[0]}; ask for it again."
                for name in _barren(source, here, problems)
            ]
        for item in found:
            try:
                learner = _whose(item, list(roster))
                say(f"{learner}: {item.lesson} {_take(folder, item, learner, received, say)}")
            except ClassError as error:
                problems.append(str(error))
    return problems


def _look(
    place: Path,
    scratch: Path,
    lessons: Sequence[str],
    hints: tuple[str, ...],
    source: str,
    problems: list[str],
) -> list[Found]:
    """Every lesson's folder at or below a place, archives within it unpacked."""
    if place.is_symlink() or not place.exists():
        problems.append(f"{place} does not exist or is a link: name a folder or an archive.")
        return []
    if place.is_file():
        if place.suffix.lower() != ".zip" or len(hints) > 8:
            return []
        target = Path(tempfile.mkdtemp(dir=scratch))
        try:
            unpack(place, target)
        except ClassError as error:
            problems.append(str(error))
            return []
        return _look(target, scratch, lessons, (*hints, place.stem), source, problems)
    if place.name in lessons:
        return [Found(place, place.name, hints, source)]
    below: list[Found] = []
    for child in sorted(place.iterdir()):
        if not child.is_symlink() and (child.is_dir() or child.suffix.lower() == ".zip"):
            below += _look(child, scratch, lessons, (*hints, place.name), source, problems)
    return below


def _barren(source: Path, here: Sequence[Found], problems: Sequence[str]) -> list[str]:
    """Names of what holds no lesson: the source itself, or folders and archives in it, each a learner's."""
    if not here:
        silent = [source]
    elif source.is_dir() and not any(item.folder.parent == source or item.folder == source for item in here):
        fruitful = {hint for item in here for hint in item.hints}
        below = [one for one in sorted(source.iterdir()) if one.is_dir() or one.suffix.lower() == ".zip"]
        silent = [
            one for one in below if not {one.name, one.stem} & fruitful and not one.name.startswith(".")
        ]
    else:
        silent = []
    return [one.name for one in silent if not any(one.name in problem for problem in problems)]


def _whose(item: Found, roster: list[str]) -> str:
    """The learner, by the hand-out within and by the names around, which must not contradict each other."""
    by_name = [
        learner
        for hint in item.hints
        for learner in roster
        if hint == learner or hint.startswith(learner + "-")
    ]
    nearest = by_name[-1] if by_name else None
    try:
        inside = read_hand_out(item.folder / HAND_OUT_NAME).learner
    except AttemptError:
        inside = None
    if inside is not None and inside not in roster:
        raise ClassError(
            f"{item.source}, {item.lesson}: its {HAND_OUT_NAME} names {inside!r}, who is not on the roster."
        )
    if inside is None and nearest is None:
        raise ClassError(
            f"{item.source}, {item.lesson}: no readable {HAND_OUT_NAME} and no learner's id around it; "
            "put it into a folder named after the learner and collect it again."
        )
    if inside is not None and nearest is not None and inside != nearest:
        raise ClassError(
            f"{item.source}, {item.lesson}: its place says {nearest!r}, {HAND_OUT_NAME} {inside!r}; ask both."
        )
    return str(inside or nearest)


def _take(
    folder: ClassFolder, item: Found, learner: str, received: datetime, say: Callable[[str], None]
) -> str:
    """Copy one lesson into place; what was there before is kept. Returns what was done."""
    target = folder.submitted / learner / item.lesson
    scratch = folder.submitted / f".{learner}-{item.lesson}"
    if scratch.exists():
        shutil.rmtree(scratch)
    scratch.mkdir(parents=True)
    for path in sorted(item.folder.rglob("*")):
        inner = path.relative_to(item.folder)
        if (
            path.is_dir()
            or any(part.startswith(".") for part in inner.parts)
            or inner.as_posix() == TIMESTAMP
        ):
            continue
        if path.is_symlink() or path.suffix.lower() not in KEPT:
            say(f"{learner}: {item.lesson}: left out {inner.as_posix()}")
            continue
        (scratch / inner).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(path, scratch / inner)
    if target.exists() and fingerprint(target) == fingerprint(scratch):
        shutil.rmtree(scratch)
        return "is the same as collected before"
    stamp = received.astimezone(UTC).strftime("%Y-%m-%d %H:%M:%S UTC")
    (scratch / TIMESTAMP).write_text(stamp + "\n", "ascii")
    done = "collected"
    target.parent.mkdir(parents=True, exist_ok=True)
    if target.exists():
        done = f"collected again, the earlier one kept in {_set_aside(folder, target, learner, item.lesson)}"
    os.replace(scratch, target)
    return done


def _set_aside(folder: ClassFolder, target: Path, learner: str, lesson: str) -> str:
    number = 1
    while (kept := folder.earlier / learner / f"{lesson}-{number}").exists():
        number += 1
    kept.parent.mkdir(parents=True, exist_ok=True)
    os.replace(target, kept)
    return kept.relative_to(folder.root).as_posix()


def fingerprint(folder: Path) -> str:
    """SHA-256 over the names and bytes of a submission, without the time it came in."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        if path.is_file() and path.name != TIMESTAMP:
            name = path.relative_to(folder).as_posix().encode()
            content = path.read_bytes()
            digest.update(b"%d %s %d " % (len(name), name, len(content)) + content)
    return digest.hexdigest()
