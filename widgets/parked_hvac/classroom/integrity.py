"""Whether the graded cells of a handed-in notebook are the ones that were handed out."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from parked_hvac.classroom.exercises import Lesson, read_notebook, source_of

MAX_NOTEBOOK_BYTES = 50_000_000
_AGAIN = ": ask the learner to open and save it in JupyterLab, and to hand the whole folder in again."


class Broken(ValueError):
    """The handed-in notebook cannot be read at all; the sentence says why, and what to do next."""


def read_submitted(path: Path) -> dict[str, Any]:
    """The JSON of a learner's notebook. Raises Broken for one that is missing, too large or none."""
    if not path.is_file():
        raise Broken(
            f"the notebook {path.name} is missing: ask the learner to hand in the whole folder again."
        )
    if path.stat().st_size > MAX_NOTEBOOK_BYTES:
        raise Broken(
            f"the notebook {path.name} has {path.stat().st_size} bytes, too many for a lesson: look what was put in it, "
            "or ask the learner for the lesson's own."
        )
    try:
        notebook: dict[str, Any] = json.loads(path.read_text("utf-8"))
    except (UnicodeError, ValueError, RecursionError):
        # What the parser says of line and column helps nobody who has only the learner to ask.
        raise Broken(f"the notebook {path.name} is damaged or another kind of file{_AGAIN}") from None
    cells = notebook.get("cells") if isinstance(notebook, dict) else None
    if not isinstance(cells, list) or not all(_is_cell(cell) for cell in cells):
        raise Broken(f"the notebook {path.name} is not laid out as a notebook{_AGAIN}")
    return notebook


def tampered(submitted: dict[str, Any], released: Path, lesson: Lesson) -> dict[str, str]:
    """Graded cells that differ from those handed out, each with what happened to it."""
    handed_out = _graded(read_notebook(released))
    handed_in = _graded(submitted)
    found: dict[str, str] = {}
    for exercise in lesson.exercises:
        ours, theirs = handed_out[exercise.cell], handed_in.get(exercise.cell, [])
        if not theirs:
            found[exercise.cell] = f"the graded cell {exercise.cell!r} was deleted."
        elif len(theirs) > 1:
            found[exercise.cell] = f"the graded cell {exercise.cell!r} stands there {len(theirs)} times."
        elif theirs != ours:
            found[exercise.cell] = f"the graded cell {exercise.cell!r} was edited."
    return found


def _graded(notebook: dict[str, Any]) -> dict[str, list[tuple[Any, ...]]]:
    """What makes each graded cell what it is: kind, text, points, and what nbgrader does with it."""
    found: dict[str, list[tuple[Any, ...]]] = {}
    for cell in notebook["cells"]:
        marks = cell.get("metadata", {}).get("nbgrader")
        if isinstance(marks, dict) and isinstance(marks.get("grade_id"), str):
            kind = tuple(bool(marks.get(name)) for name in ("grade", "solution", "locked", "task"))
            points = marks.get("points")
            found.setdefault(marks["grade_id"], []).append(
                (cell["cell_type"], source_of(cell), str(points), kind)
            )
    return found


def _is_cell(cell: object) -> bool:
    if not isinstance(cell, dict) or not isinstance(cell.get("cell_type"), str):
        return False
    source, metadata = cell.get("source", ""), cell.get("metadata", {})
    lines = isinstance(source, list) and all(isinstance(line, str) for line in source)
    return (isinstance(source, str) or lines) and isinstance(metadata, dict)
