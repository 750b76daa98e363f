"""Looks for answers, keys and misspelt marks in what is about to reach learners.

nbgrader strips the regions between six exact marks and ships a region whose mark is misspelt without a
word. So everything that resembles a mark must be one, and nothing of what stood between marks may remain.
"""

from __future__ import annotations

import difflib
import re
from pathlib import Path
from typing import Any

from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.exercises import read_lesson, read_notebook, source_of

MARKS = (
    "BEGIN SOLUTION",
    "END SOLUTION",
    "BEGIN HIDDEN TESTS",
    "END HIDDEN TESTS",
    "BEGIN MARK SCHEME",
    "END MARK SCHEME",
)

PICTURES = {".png", ".svg"}
"""The only files that may lie beside a lesson's notebook: nbgrader copies every one of them to learners."""

_CELL_METADATA = {"deletable", "editable", "jupyter", "nbgrader", "tags"}
# A mark, as it should be: a comment or heading sign, then the mark alone on its line.
_EXACT = re.compile(r"\s*#{1,6} (" + "|".join(MARKS) + r")\s*")
# The likeness from which words count as a misspelt mark: one letter wrong in 'END SOLUTION' gives 0.92,
# two letters swapped and a plural 0.88; 'begin a solution' in prose reaches 0.93, hence the capitals.
_LIKENESS = 0.78


def leaks(source: Path, released: Path) -> list[str]:
    """Sentences about all that is wrong with a lesson, by its source and its released folder."""
    found = [f"{source.name}: {sentence}" for sentence in _beside(source)]
    try:
        ours = read_notebook(source / f"{source.name}.ipynb")
        theirs = read_notebook(released / f"{source.name}.ipynb")
        read_lesson(source)
    except ClassError as error:
        return [*found, str(error)]
    found += [f"{source.name}, source: {sentence}" for sentence in _in_source(ours)]
    found += [f"{source.name}, released: {sentence}" for sentence in _in_release(ours, theirs)]
    return found


def _beside(folder: Path) -> list[str]:
    """Files that would be copied to learners although they are no pictures."""
    allowed = f"{folder.name}.ipynb"
    return [
        f"{path.relative_to(folder)} would be copied to every learner; only pictures may lie there."
        for path in sorted(folder.rglob("*"))
        if path.is_file()
        and path.name != allowed
        and path.suffix not in PICTURES
        and not {".ipynb_checkpoints", "__pycache__"} & set(path.parts)
    ]


def _in_source(notebook: dict[str, Any]) -> list[str]:
    """Misspelt marks, cells without a lasting id, outputs, metadata that nobody strips."""
    found: list[str] = []
    ids = [cell.get("id") for cell in notebook["cells"]]
    for cell, name in zip(notebook["cells"], ids, strict=True):
        if not name or ids.count(name) != 1:
            found.append(f"cell {name!r} needs an id of its own that stays the same.")
        for line in source_of(cell).splitlines():
            if not _EXACT.fullmatch(line) and (mark := resembles(line)):
                found.append(
                    f"cell {name!r}: {line.strip()!r} looks like '### {mark}', the only spelling known."
                )
        found += _metadata(cell, name)
        if cell.get("outputs") or cell.get("execution_count") is not None:
            found.append(f"cell {name!r} holds outputs; clear them.")
    return found


def _in_release(ours: dict[str, Any], theirs: dict[str, Any]) -> list[str]:
    """Marks that survived and secret text that survived, anywhere in the released file."""
    found: list[str] = []
    texts = {str(cell.get("id")): source_of(cell) for cell in theirs["cells"]}
    everything = "\n".join(
        [*texts.values(), *(str(cell.get("metadata")) for cell in theirs["cells"]), str(theirs["metadata"])]
    )
    for name, text in texts.items():
        for line in text.splitlines():
            if mark := resembles(line):
                found.append(f"cell {name!r} still has {line.strip()!r}, which looks like '{mark}'.")
    for secret in secret_lines(ours):
        if secret in everything:
            found.append(f"the answer line {secret!r} is still there.")
    for cell in theirs["cells"]:
        if cell.get("outputs"):
            found.append(f"cell {cell.get('id')!r} holds outputs, which may show an answer.")
    return found


def _metadata(cell: dict[str, Any], name: object) -> list[str]:
    extra = sorted(set(cell.get("metadata", {})) - _CELL_METADATA)
    return (
        [f"cell {name!r} has metadata {', '.join(extra)}, which would be released as it is."] if extra else []
    )


def secret_lines(notebook: dict[str, Any]) -> list[str]:
    """Every line of a source notebook that learners must not see, but for blanks and closing brackets."""
    secrets: list[str] = []
    for cell in notebook["cells"]:
        marks = cell.get("metadata", {}).get("nbgrader", {})
        inside = False
        marked = any(_EXACT.fullmatch(line) for line in source_of(cell).splitlines())
        for line in source_of(cell).splitlines():
            if _EXACT.fullmatch(line):
                inside = "BEGIN" in line
            elif inside or (marks.get("solution") and not marked):
                secrets.append(line.strip())
    return [line for line in secrets if len(re.sub(r"\W", "", line)) >= 4]


def resembles(line: str) -> str:
    """The mark that some words of a line resemble, or ''; prose in small letters is left alone."""
    words = re.findall(r"[A-Za-z]+", line.replace("_", " "))
    commented = line.lstrip().startswith("#")
    for mark in MARKS:
        first, count = mark.split()[0], len(mark.split())
        for length in (count - 1, count, count + 1):
            for start in range(len(words) - length + 1):
                piece = " ".join(words[start : start + length])
                if not commented and piece != piece.upper():
                    continue
                if _alike(piece[: len(first)], first) >= 0.6 and _alike(piece, mark) >= _LIKENESS:
                    return mark
    return ""


def _alike(text: str, mark: str) -> float:
    return difflib.SequenceMatcher(None, text.upper(), mark).ratio()
