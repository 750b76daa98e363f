"""The instructor's commands: what they say, and with which status they end."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from parked_hvac.classroom.commands import class_group
from parked_hvac.classroom.folder import ClassFolder


def run(*arguments: object) -> Result:
    return CliRunner().invoke(class_group, [str(argument) for argument in arguments], catch_exceptions=False)


@pytest.mark.parametrize("command", ["new", "hand-out", "collect", "grade", "write-ups", "marks", "release"])
def test_does_each_command_explain_itself(command: str) -> None:
    assert run(command, "--help").exit_code == 0


def test_is_a_bad_roster_one_sentence_and_status_2(tmp_path: Path) -> None:
    (tmp_path / "roster.csv").write_text("id,name\nA17,Lee, Jr\n")
    result = run("new", tmp_path / "evening", "--roster", tmp_path / "roster.csv")
    assert result.exit_code == 2
    assert result.stderr.count("\n") == 1
    assert "in quotes" in result.stderr
    assert not (tmp_path / "evening").exists()


@pytest.mark.parametrize("command", ["hand-out", "grade", "marks", "write-ups"])
def test_is_a_folder_that_is_no_class_status_2(tmp_path: Path, command: str) -> None:
    result = run(command, tmp_path)
    assert result.exit_code == 2
    assert "no class folder" in result.stderr


def test_is_a_due_time_without_a_lesson_status_2(tmp_path: Path) -> None:
    (tmp_path / "roster.csv").write_text("id,name\nA17,Ada\n")
    result = run("new", tmp_path / "evening", "--roster", tmp_path / "roster.csv", "--due", "tomorrow")
    assert result.exit_code == 2
    assert "LESSON=WHEN" in result.stderr


def test_does_collecting_end_with_status_1_when_something_was_left_out(
    klass: ClassFolder, taken_home: Callable[[str], Path], tmp_path: Path
) -> None:
    (tmp_path / "B02.zip").write_bytes(b"damaged")
    result = run(
        "collect", klass.root, taken_home("A17"), tmp_path / "B02.zip", "--received", "2026-12-01 16:00"
    )
    assert result.exit_code == 1
    assert "A17: lesson-00-start-here collected" in result.stdout
    assert "B02.zip cannot be unpacked" in result.stderr
    assert run("collect", klass.root, taken_home("B02")).exit_code == 0


def test_is_a_learner_or_lesson_of_another_class_status_2(klass: ClassFolder) -> None:
    assert "no learner 'Z99'" in run("grade", klass.root, "--learner", "Z99").stderr
    assert "no lesson 'lesson-77'" in run("grade", klass.root, "--lesson", "lesson-77").stderr
    assert "no learner 'Z99'" in run("hand-out", klass.root, "--learner", "Z99").stderr


def test_does_a_class_that_handed_in_nothing_still_get_its_pages(klass: ClassFolder) -> None:
    result = run("grade", klass.root)
    assert result.exit_code == 0
    assert "0 of 143 submissions are there" in result.stdout
    assert klass.class_page.exists()
    assert klass.marks.read_bytes().startswith(b"\xef\xbb\xbflearner,name")


def test_is_a_table_of_write_ups_never_overwritten(klass: ClassFolder) -> None:
    assert run("write-ups", klass.root).exit_code == 0
    assert "Names part and failure" in (klass.root / "write-up-rubric.html").read_text("utf-8")
    table = klass.root / "write-ups.csv"
    table.write_text("my marks")
    result = run("write-ups", klass.root)
    assert result.exit_code == 2
    assert "is there already" in result.stderr
    assert table.read_text() == "my marks"


def test_can_the_marks_go_elsewhere(klass: ClassFolder, tmp_path: Path) -> None:
    assert run("marks", klass.root, "--out", tmp_path / "mine.csv").exit_code == 0
    assert (
        len((tmp_path / "mine.csv").read_text("utf-8-sig").splitlines()) == 1 + 143
    )  # 11 learners, 13 lessons
