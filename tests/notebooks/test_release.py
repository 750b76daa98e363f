"""lessons/ is what nbgrader makes of solutions/, and a release that leaks anything does not happen."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.exercises import read_lesson
from parked_hvac.classroom.release import differences, make_all, release

LESSON = "lesson-00-start-here"


@pytest.fixture
def sources(repository: Path, tmp_path: Path) -> Path:
    """A copy of one lesson's source that a test may spoil."""
    shutil.copytree(repository / "solutions" / LESSON, tmp_path / "solutions" / LESSON)
    return tmp_path / "solutions"


def edit(sources: Path, change: Callable[[list[dict[str, Any]]], None]) -> None:
    path = sources / LESSON / f"{LESSON}.ipynb"
    notebook = json.loads(path.read_text("utf-8"))
    change(notebook["cells"])
    path.write_text(json.dumps(notebook), "utf-8")


def test_is_lessons_byte_for_byte_what_nbgrader_makes_of_solutions() -> None:
    assert differences() == []


def test_does_a_changed_byte_in_lessons_show(repository: Path, tmp_path: Path) -> None:
    lessons = tmp_path / "lessons"
    shutil.copytree(repository / "lessons", lessons)
    path = lessons / LESSON / f"{LESSON}.ipynb"
    path.write_bytes(path.read_bytes().replace(b"five minutes", b"four minutes"))
    (lessons / "lesson-99-nobody-wrote-it").mkdir()
    (lessons / "lesson-99-nobody-wrote-it" / "x.ipynb").write_text("{}")
    assert [sentence.split()[0] for sentence in differences(lessons=lessons)] == [
        f"lessons/{LESSON}/{LESSON}.ipynb",
        "lessons/lesson-99-nobody-wrote-it/x.ipynb",
    ]


def test_does_a_release_keep_the_attempts_that_lie_in_a_lesson(sources: Path, tmp_path: Path) -> None:
    mine = tmp_path / "lessons" / LESSON / "first-look.jsonl"
    mine.parent.mkdir(parents=True)
    mine.write_text("mine")
    said: list[str] = []
    release(said.append, sources, tmp_path / "lessons")
    assert mine.read_text() == "mine"
    assert said == [f"released {LESSON}"]


def test_does_a_misspelt_mark_stop_the_release_and_leave_lessons_as_it_was(
    sources: Path, tmp_path: Path
) -> None:
    edit(
        sources,
        lambda cells: cells[0].update(source="# x\n### BEGIN SOLUTON\nthe fuse is blown\n### END SOLUTON"),
    )
    lessons = tmp_path / "lessons"
    lessons.mkdir()
    with pytest.raises(ClassError, match="SOLUTON"):
        release(print, sources, lessons)
    assert list(lessons.iterdir()) == []


def test_is_a_misspelt_end_of_a_mark_scheme_caught_by_someone(sources: Path, tmp_path: Path) -> None:
    def spoil(cells: list[dict[str, Any]]) -> None:
        cell = next(cell for cell in cells if cell["metadata"].get("nbgrader", {}).get("task"))
        cell["source"] = "".join(cell["source"]).replace("END MARK SCHEME", "END MARKSCHEME")

    edit(sources, spoil)
    with pytest.raises(ClassError):
        make_all(sources, tmp_path)


def test_does_each_lesson_have_something_to_grade_worth_a_hundred(repository: Path) -> None:
    for folder in sorted((repository / "solutions").glob("*/")):
        lesson = read_lesson(folder)
        assert lesson.maximum == 100, lesson.id
        assert any(exercise.by_hand for exercise in lesson.exercises), lesson.id
        assert any(exercise.scorer == "job_points" for exercise in lesson.exercises), lesson.id


@pytest.mark.parametrize(
    "folder", sorted((Path(__file__).parents[2] / "solutions").glob("*/")), ids=lambda path: path.name
)
def test_can_a_learner_read_how_a_write_up_is_marked(folder: Path) -> None:
    """Each line of the mark scheme stands in a table that learners get."""
    texts = {
        tree: ["".join(cell["source"]) for cell in json.loads(path.read_text("utf-8"))["cells"]]
        for tree in ("solutions", "lessons")
        for path in folder.parents[1].glob(f"{tree}/{folder.name}/*.ipynb")
    }
    lines = re.findall(r"^\*\*(\w+)\*\* \(\d/\d\): (.+)\.$", "\n".join(texts["solutions"]), re.MULTILINE)
    assert len(lines) >= 3
    rows = re.findall(r"^\| (\w+) \| [a-z ]+ \| (.+) \|$", "\n".join(texts["lessons"]), re.MULTILINE)
    assert {(name.lower(), says) for name, says in lines} <= set(rows)
