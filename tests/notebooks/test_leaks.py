"""The search for leaked answers finds each planted defect and is silent about the lessons as they are."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from parked_hvac.classroom.leaks import leaks, resembles, secret_lines

Notebook = dict[str, Any]

CELL = 'from parked_hvac.assessment.cell import job_points\njob_points("night-call", maximum=5)'
RIGHT: Notebook = {
    "cells": [
        {"cell_type": "markdown", "id": "head", "metadata": {}, "source": "# A lesson"},
        {
            "cell_type": "code",
            "id": "points",
            "metadata": {"nbgrader": {"grade": True, "grade_id": "points", "points": 5, "locked": True}},
            "source": CELL,
            "outputs": [],
            "execution_count": None,
        },
        {
            "cell_type": "markdown",
            "id": "night-call-write-up",
            "metadata": {"nbgrader": {"task": True, "grade_id": "night-call-write-up", "points": 5}},
            "source": "Marked by hand.\n### BEGIN MARK SCHEME\nthe relay K1 is burnt\n### END MARK SCHEME",
        },
    ],
    "metadata": {},
    "nbformat": 4,
    "nbformat_minor": 5,
}


def released(source: Notebook) -> Notebook:
    made = copy.deepcopy(source)
    made["cells"][2]["source"] = "Marked by hand."
    return made


def found(tmp_path: Path, source: Notebook, made: Notebook) -> list[str]:
    for name, notebook in (("solutions", source), ("lessons", made)):
        folder = tmp_path / name / "lesson-x"
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "lesson-x.ipynb").write_text(json.dumps(notebook), "utf-8")
    return leaks(tmp_path / "solutions" / "lesson-x", tmp_path / "lessons" / "lesson-x")


def test_is_a_proper_lesson_clean(tmp_path: Path) -> None:
    assert found(tmp_path, RIGHT, released(RIGHT)) == []


def test_are_the_lessons_as_they_are_clean(repository: Path) -> None:
    for folder in sorted((repository / "solutions").glob("*/")):
        assert leaks(folder, repository / "lessons" / folder.name) == []


def _source(text: str) -> Callable[[Notebook], None]:
    return lambda notebook: notebook["cells"][0].update(source=text)


SPOILT_SOURCE = {
    "a misspelt mark": (_source("# x\n### BEGIN SOLUTON\nK1"), "BEGIN SOLUTION"),
    "a mark in small letters": (_source("# x\n# begin hidden tests"), "BEGIN HIDDEN TESTS"),
    "a mark without its blank": (_source("# x\n### ENDSOLUTION"), "END SOLUTION"),
    "a mark with more on its line": (_source("# x\n### BEGIN SOLUTION here"), "BEGIN SOLUTION"),
    "an output": (lambda notebook: notebook["cells"][1].update(outputs=[{"text": "5.0"}]), "outputs"),
    "a run number": (lambda notebook: notebook["cells"][1].update(execution_count=3), "outputs"),
    "no lasting id": (lambda notebook: notebook["cells"][1].pop("id"), "id of its own"),
    "a second cell of one id": (lambda notebook: notebook["cells"][1].update(id="head"), "id of its own"),
    "an answer in the metadata": (
        lambda notebook: notebook["cells"][0]["metadata"].update(answer="K1"),
        "metadata answer",
    ),
    "a grading cell that ends with a comparison": (
        lambda notebook: notebook["cells"][1].update(source='answer == "K1"'),
        "grading cell 'points'",
    ),
    "a grading cell worth other points": (
        lambda notebook: notebook["cells"][1]["metadata"]["nbgrader"].update(points=6),
        "maximum=5",
    ),
    "a grading cell that calls another thing": (
        lambda notebook: notebook["cells"][1].update(
            source='from parked_hvac.assessment.cell import as_points\nas_points("night-call", maximum=5)'
        ),
        "as_points",
    ),
    "a cell to mark that names no order": (
        lambda notebook: notebook["cells"][2]["metadata"]["nbgrader"].update(grade_id="essay"),
        "ORDER-write-up",
    ),
}


@pytest.mark.parametrize("defect", SPOILT_SOURCE)
def test_is_a_defect_in_the_source_found(tmp_path: Path, defect: str) -> None:
    spoil, word = SPOILT_SOURCE[defect]
    source = copy.deepcopy(RIGHT)
    spoil(source)
    assert any(word in sentence for sentence in found(tmp_path, source, released(source)))


SPOILT_RELEASE = {
    "the mark scheme is still there": (
        lambda notebook: notebook["cells"][2].update(source="### BEGIN MARK SCHEME\nthe relay K1 is burnt"),
        ["still has '### BEGIN MARK SCHEME'", "the relay K1 is burnt"],
    ),
    "a line of it stands elsewhere": (
        lambda notebook: notebook["cells"][0].update(source="# A lesson\nHint: the relay K1 is burnt."),
        ["the relay K1 is burnt"],
    ),
    "a line of it stands in metadata": (
        lambda notebook: notebook["metadata"].update(hint="the relay K1 is burnt"),
        ["the relay K1 is burnt"],
    ),
    "an output shows something": (
        lambda notebook: notebook["cells"][1].update(outputs=[{"text": "5.0"}]),
        ["holds outputs"],
    ),
}


@pytest.mark.parametrize("defect", SPOILT_RELEASE)
def test_is_a_defect_in_the_release_found(tmp_path: Path, defect: str) -> None:
    spoil, words = SPOILT_RELEASE[defect]
    made = released(RIGHT)
    spoil(made)
    sentences = " ".join(found(tmp_path, RIGHT, made))
    assert all(word in sentences for word in words)


@pytest.mark.parametrize(
    "name", ["key.json", "answers.csv", "marks.py", "attempt-night-call.jsonl", "sub/notes.md"]
)
def test_is_a_file_beside_the_notebook_found(tmp_path: Path, name: str) -> None:
    path = tmp_path / "solutions" / "lesson-x" / name
    path.parent.mkdir(parents=True)
    path.write_text("k1_contact_burnt")
    assert any(name in sentence for sentence in found(tmp_path, RIGHT, released(RIGHT)))


def test_may_a_picture_lie_beside_the_notebook(tmp_path: Path) -> None:
    path = tmp_path / "solutions" / "lesson-x" / "feed.svg"
    path.parent.mkdir(parents=True)
    path.write_text("<svg/>")
    assert found(tmp_path, RIGHT, released(RIGHT)) == []


@pytest.mark.parametrize(
    "line",
    [
        "### BEGIN SOLUTIONS",
        "###BEGIN HIDDEN  TESTS",
        "### BEING HIDDEN TESTS",
        "BEGIN_SOLUTION",
        "# Begin Mark Sheme",
    ],
)
def test_does_a_spelling_near_a_mark_count(line: str) -> None:
    assert resembles(line)


@pytest.mark.parametrize(
    "line",
    [
        "In the end a solution is found.",
        "# How the mark scheme works",
        "## The end of the test",
        "We begin with hidden tests of the wiring.",
        "# Begin here",
    ],
)
def test_is_prose_left_alone(line: str) -> None:
    assert not resembles(line)


def test_are_solution_cells_secret_as_a_whole() -> None:
    cell = {
        "cell_type": "code",
        "metadata": {"nbgrader": {"solution": True}},
        "source": "voltage = 12.4\n)\n",
    }
    assert secret_lines({"cells": [cell]}) == ["voltage = 12.4"]
