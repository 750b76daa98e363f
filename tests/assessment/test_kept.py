"""Is a finished job judged once, and anew as soon as anything that its points hang on has changed?"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from parked_hvac.assessment import kept as keeping
from parked_hvac.assessment.apart import Submission, evaluate
from parked_hvac.assessment.kept import STATE, kept

ARGUMENTS = {"order": "short-sleep", "maximum": 60}


class Judge:
    """Counts how often it is asked."""

    def __init__(self, state: str = "scored") -> None:
        self.asked = 0
        self.state = state

    def __call__(self) -> dict[str, Any]:
        self.asked += 1
        return {"state": self.state, "points": 41.5, "reason": "", "report": {"parts": []}}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A lesson's folder with an attempt, below a launched course."""
    monkeypatch.setenv(STATE, str(tmp_path / "state"))
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    lesson = tmp_path / "lesson"
    lesson.mkdir()
    (lesson / "short-sleep.jsonl").write_text("a line\n")
    return lesson


def points(judge: Judge, folder: Path, **other: object) -> float:
    return float(kept("job_points", {**ARGUMENTS, **other}, folder, judge)["points"])


def test_is_the_same_job_judged_once(folder: Path) -> None:
    judge = Judge()
    assert [points(judge, folder) for _ in range(3)] == [41.5, 41.5, 41.5]
    assert judge.asked == 1


@pytest.mark.parametrize("name", ["short-sleep.jsonl", "hand-out.json"])
def test_does_a_changed_file_ask_for_a_new_judgement(folder: Path, name: str) -> None:
    judge = Judge()
    points(judge, folder)
    with (folder / name).open("a") as file:
        file.write("another line\n")
    points(judge, folder)
    assert judge.asked == 2


def test_does_an_attempt_at_another_order_leave_it_alone(folder: Path) -> None:
    judge = Judge()
    points(judge, folder)
    (folder / "night-call.jsonl").write_text("a line\n")
    points(judge, folder)
    assert judge.asked == 1


def test_does_another_question_ask_for_a_judgement_of_its_own(folder: Path) -> None:
    judge = Judge()
    points(judge, folder)
    points(judge, folder, maximum=25)
    points(judge, folder, order="night-call")
    assert judge.asked == 3


def test_does_a_changed_course_ask_for_a_new_judgement(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    judge = Judge()
    points(judge, folder)
    monkeypatch.setattr(keeping, "_course", lambda: "another course")
    points(judge, folder)
    assert judge.asked == 2


def test_do_code_and_data_make_the_course(tmp_path: Path) -> None:
    (tmp_path / "data").mkdir()
    (tmp_path / "data" / "rubric.toml").touch()
    (tmp_path / "package").mkdir()
    (tmp_path / "package" / "score.py").touch()
    found = [path.name for _, path in keeping._sources(tmp_path / "package", tmp_path / "data")]
    assert found == ["score.py", "rubric.toml"]


def test_is_nothing_kept_or_taken_while_nbgrader_runs_the_notebook(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    judge = Judge()
    points(judge, folder)
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    points(judge, folder)
    assert judge.asked == 2


def test_is_nothing_kept_without_a_launched_course(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(STATE)
    judge = Judge()
    points(judge, folder)
    points(judge, folder)
    assert judge.asked == 2
    assert not (folder.parent / "state").exists()


@pytest.mark.parametrize("state", ["refused", "absent"])
def test_is_only_a_score_kept(folder: Path, state: str) -> None:
    judge = Judge(state)
    points(judge, folder)
    points(judge, folder)
    assert judge.asked == 2


def test_is_a_score_forgotten_whose_attempt_went_on_meanwhile(folder: Path) -> None:
    class Slow(Judge):
        def __call__(self) -> dict[str, Any]:
            (folder / "short-sleep.jsonl").write_text(f"changed {self.asked}\n")
            return super().__call__()

    judge = Slow()
    points(judge, folder)
    points(judge, folder)
    assert judge.asked == 2


def test_is_a_damaged_reply_no_reply(folder: Path) -> None:
    judge = Judge()
    points(judge, folder)
    (reply,) = (folder.parent / "state" / "judged").iterdir()
    for text in ("", "[]", json.dumps({"state": "scored", "points": "60", "reason": ""})):
        reply.write_text(text)
        points(judge, folder)
    assert judge.asked == 4


def test_does_the_class_s_judge_never_look_there(folder: Path) -> None:
    points(Judge(), folder)  # a file of one line 'a line' earned 41.5
    assert evaluate("job_points", ARGUMENTS, Submission(folder))["state"] == "refused"
