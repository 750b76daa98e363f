"""The graded exercises of a lesson, read from its notebook without running it."""

from __future__ import annotations

import ast
import inspect
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from parked_hvac.assessment.cell import SCORERS
from parked_hvac.classroom.errors import ClassError

CELL_MODULE = "parked_hvac.assessment.cell"
WRITE_UP = "-write-up"


@dataclass(frozen=True)
class Exercise:
    """One cell that earns points: what to ask the clean process for, and whether a person then gives them."""

    cell: str
    maximum: float
    scorer: str
    arguments: tuple[tuple[str, object], ...]
    by_hand: bool = False


@dataclass(frozen=True)
class Lesson:
    """A lesson's notebook and its graded exercises, in the order of the page."""

    id: str
    title: str
    exercises: tuple[Exercise, ...]

    @property
    def notebook(self) -> str:
        """Name of the notebook's file."""
        return f"{self.id}.ipynb"

    @property
    def maximum(self) -> float:
        """Points to be had."""
        return sum(exercise.maximum for exercise in self.exercises)


def read_notebook(path: Path) -> dict[str, Any]:
    """The JSON of a notebook file of ours. Raises ClassError with the file and what is wrong."""
    try:
        notebook = json.loads(path.read_text("utf-8"))
    except FileNotFoundError:
        raise ClassError(f"{path} is missing: a lesson's notebook has the name of its folder.") from None
    except (UnicodeError, json.JSONDecodeError) as error:
        raise ClassError(f"{path} is no readable notebook ({error}): restore it.") from None
    if not isinstance(notebook, dict) or not isinstance(notebook.get("cells"), list):
        raise ClassError(f"{path} holds no cells: restore it.")
    return notebook


def source_of(cell: dict[str, Any]) -> str:
    """Text of a cell, which the file may hold as a string or as lines."""
    source = cell.get("source", "")
    return source if isinstance(source, str) else "".join(source)


def read_lesson(folder: Path) -> Lesson:
    """A lesson by its folder, source or released. Raises ClassError for a grading cell of another shape."""
    path = folder / f"{folder.name}.ipynb"
    notebook = read_notebook(path)
    title = folder.name
    exercises: list[Exercise] = []
    for cell in notebook["cells"]:
        text = source_of(cell)
        if cell.get("cell_type") == "markdown" and title == folder.name and text.startswith("# "):
            title = text.splitlines()[0].removeprefix("# ").strip()
        marks = cell.get("metadata", {}).get("nbgrader", {})
        if not (marks.get("grade") or marks.get("task")):
            continue
        name, points = str(marks.get("grade_id", "")), float(marks.get("points", 0))
        if marks.get("task") or marks.get("solution"):
            exercises.append(_write_up(name, points, path.name))
        else:
            exercises.append(parse_grading_cell(name, points, text, path.name))
    return Lesson(folder.name, title, tuple(exercises))


def _write_up(name: str, points: float, where: str) -> Exercise:
    """The exercise of a cell that a person marks: ORDER-write-up, the text being on the job card."""
    if not name.endswith(WRITE_UP):
        raise ClassError(
            f"{where}: a person marks the cell {name!r}; call it 'ORDER{WRITE_UP}' after its work order."
        )
    return Exercise(name, points, "show_write_up", (("order", name.removesuffix(WRITE_UP)),), by_hand=True)


def parse_grading_cell(name: str, points: float, text: str, where: str) -> Exercise:
    """What a grading cell calls: two lines, the import of one scorer and the call with literal arguments.

    Raises ClassError naming the cell; ``maximum`` must equal the cell's points.
    """
    shape = (
        f"{where}, grading cell {name!r}: write 'from {CELL_MODULE} import SCORER' "
        "and then one call of it with plain values"
    )
    try:
        body = ast.parse(text).body
    except SyntaxError:
        raise ClassError(f"{shape}; it does not parse.") from None
    match body:
        case [
            ast.ImportFrom(
                module="parked_hvac.assessment.cell", level=0, names=[ast.alias(name=scorer, asname=None)]
            ),
            ast.Expr(value=ast.Call(func=ast.Name(id=called)) as call),
        ] if called == scorer:
            pass
        case _:
            raise ClassError(f"{shape}.")
    if scorer not in SCORERS:
        raise ClassError(f"{shape}; {scorer!r} is none of {', '.join(sorted(SCORERS))}.")
    try:
        values = [ast.literal_eval(argument) for argument in call.args]
        named = {str(keyword.arg): ast.literal_eval(keyword.value) for keyword in call.keywords}
        bound = inspect.signature(SCORERS[scorer]).bind(*values, **named).arguments
    except (TypeError, ValueError) as error:
        raise ClassError(f"{shape} ({error}).") from None
    if float(bound["maximum"]) != points:
        raise ClassError(
            f"{where}, grading cell {name!r}: maximum={bound['maximum']}, but the cell is worth {points:g}."
        )
    return Exercise(name, points, scorer, tuple(bound.items()))
