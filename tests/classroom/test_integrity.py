"""A graded cell that is not as it was handed out is told, whichever way it was changed."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from parked_hvac.classroom.exercises import read_lesson
from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.classroom.integrity import Broken, read_submitted, tampered

LESSON = "lesson-04-power-on-its-way"
CELL = "night-call-points"


def changed(made_class: ClassFolder, change: Callable[[list[dict[str, Any]], int], None]) -> dict[str, str]:
    released = made_class.released / LESSON / f"{LESSON}.ipynb"
    notebook = read_submitted(released)
    ids = [cell["id"] for cell in notebook["cells"]]
    change(notebook["cells"], ids.index(CELL))
    return tampered(notebook, released, read_lesson(made_class.sources / LESSON))


def test_is_a_notebook_that_was_only_worked_in_untouched(made_class: ClassFolder) -> None:
    def work(cells: list[dict[str, Any]], at: int) -> None:
        cells[at]["outputs"] = [{"output_type": "stream", "name": "stdout", "text": "12 of 60"}]
        cells[at]["execution_count"] = 7
        cells[at]["metadata"]["collapsed"] = True
        cells[at]["source"] = "".join(cells[at]["source"])
        cells.insert(0, {"cell_type": "markdown", "metadata": {}, "source": "my notes"})

    assert changed(made_class, work) == {}


def _set(**changes: object) -> Callable[[list[dict[str, Any]], int], None]:
    return lambda cells, at: cells[at].update(changes)


def _mark(**changes: object) -> Callable[[list[dict[str, Any]], int], None]:
    return lambda cells, at: cells[at]["metadata"]["nbgrader"].update(changes)


CHANGES: dict[str, tuple[Callable[[list[dict[str, Any]], int], None], str]] = {
    "deleted": (lambda cells, at: cells.pop(at) and None, "was deleted"),
    "its marks taken off": (lambda cells, at: cells[at]["metadata"].pop("nbgrader") and None, "was deleted"),
    "renamed": (_mark(grade_id="mine"), "was deleted"),
    "copied": (lambda cells, at: cells.append(copy.deepcopy(cells[at])), "stands there 2 times"),
    "ends with a number of its own": (_set(source="60.0"), "was edited"),
    "one blank more": (
        _set(source='from parked_hvac.assessment.cell import job_points \njob_points("x")'),
        "was edited",
    ),
    "made prose": (_set(cell_type="markdown"), "was edited"),
    "worth more": (_mark(points=600), "was edited"),
    "no longer graded": (_mark(grade=False), "was edited"),
    "marked by a person instead": (_mark(solution=True), "was edited"),
    "unlocked": (_mark(locked=False), "was edited"),
}


@pytest.mark.parametrize("how", CHANGES)
def test_is_a_changed_grading_cell_told(made_class: ClassFolder, how: str) -> None:
    change, told = CHANGES[how]
    found = changed(made_class, change)
    assert list(found) == [CELL]
    assert told in found[CELL]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe",
        b"not json",
        b"[1, 2]",
        b"null",
        b'{"cells": 3}',
        b'{"cells": [3]}',
        b'{"cells": [{"cell_type": "code", "source": 3}]}',
        b'{"cells": [{"cell_type": "code", "source": [3]}]}',
        b'{"cells": [{"cell_type": "code", "metadata": []}]}',
        b"[" * 100_000,
    ],
)
def test_is_a_corrupt_notebook_told_in_a_sentence(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "x.ipynb").write_bytes(content)
    with pytest.raises(Broken, match=r"^the notebook x\.ipynb is .*: ask the learner .* again\.$") as told:
        read_submitted(tmp_path / "x.ipynb")
    # Where the parser stopped helps an instructor nothing.
    assert not re.search(r"Error|line \d|column|char|codec|Expecting|recursion", str(told.value))


@pytest.mark.parametrize("marks", [3, [], {"grade_id": 3}, {"grade_id": None}, None])
def test_are_odd_marks_no_graded_cell(made_class: ClassFolder, marks: object) -> None:
    def spoil(cells: list[dict[str, Any]], at: int) -> None:
        cells[at]["metadata"]["nbgrader"] = marks

    assert "was deleted" in changed(made_class, spoil)[CELL]


def test_is_a_missing_notebook_told(tmp_path: Path) -> None:
    with pytest.raises(Broken, match=r"x\.ipynb is missing"):
        read_submitted(tmp_path / "x.ipynb")


def test_does_a_notebook_saved_by_another_program_count_as_the_same(
    made_class: ClassFolder, tmp_path: Path
) -> None:
    released = made_class.released / LESSON / f"{LESSON}.ipynb"
    path = tmp_path / released.name
    path.write_text(json.dumps(json.loads(released.read_text("utf-8")), ensure_ascii=True), "utf-8")
    assert tampered(read_submitted(path), released, read_lesson(made_class.sources / LESSON)) == {}
