"""A grading cell ends with a plain float from 0 to its maximum and stays off standard error."""

from __future__ import annotations

import json
import math
import sys
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from parked_hvac.assessment import cell
from parked_hvac.assessment.apart import Submission, evaluate
from parked_hvac.assessment.cell import as_points, card_points, job_points, show_write_up
from parked_hvac.job.attempt import start


def judge_that(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    """Put a stand-in in the judge's place: a program of these lines."""
    monkeypatch.setattr(cell, "command", lambda: [sys.executable, "-I", "-c", text])


def judge_that_replies(monkeypatch: pytest.MonkeyPatch, reply: object) -> None:
    judge_that(monkeypatch, f"print({json.dumps({'replies': [reply]})!r})")


@pytest.mark.parametrize("points", [0.0, 12.34, 20.0])
def test_is_a_proper_figure_passed_on_as_plain_text_of_a_float(
    monkeypatch: pytest.MonkeyPatch, points: float
) -> None:
    judge_that_replies(monkeypatch, {"state": "scored", "points": points, "reason": ""})
    given = job_points("night-call", maximum=20)
    assert (type(given), repr(given)) == (cell.Points, repr(points))


# What nbgrader gives full marks for, or stumbles over, when a cell ends with it.
@pytest.mark.parametrize(
    "points", [None, True, False, "20", "", [20.0], {}, -1.0, 20.5, 1e308, math.nan, math.inf, 5, [], "NaN"]
)
@pytest.mark.parametrize("scorer", [job_points, card_points])
def test_is_anything_else_nothing(monkeypatch: pytest.MonkeyPatch, scorer: object, points: object) -> None:
    judge_that_replies(monkeypatch, {"state": "scored", "points": points, "reason": ""})
    given = scorer("night-call", maximum=20)  # type: ignore[operator]
    assert (type(given), repr(given)) == (cell.Points, "0.0")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "raise SystemExit(3)",
        "print('not json')",
        "print('{}')",
        "print('{\"replies\": []}')",
        "print('[1]')",
    ],
)
def test_is_a_judge_that_fails_nothing_and_no_exception(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str], text: str
) -> None:
    judge_that(monkeypatch, text)
    assert job_points("night-call", maximum=20) == 0.0
    told = capfd.readouterr()
    assert (
        told.out
        == "0 of 20 points: the judge gave no answer; run the cell again, then ask your instructor.\n"
    )
    assert told.err == ""


def test_is_a_learner_told_that_the_judge_is_at_work_and_then_only_the_outcome(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    cleared: list[bool] = []
    display = SimpleNamespace(clear_output=lambda wait: cleared.append(wait))
    notebook = SimpleNamespace(get_ipython=lambda: object(), display=display)
    monkeypatch.setitem(sys.modules, "IPython", notebook)
    judge_that_replies(monkeypatch, {"state": "scored", "points": 7.5, "reason": ""})
    job_points("night-call", maximum=20)
    waiting, outcome = capsys.readouterr().out.splitlines()
    assert waiting.startswith("The judge replays the job.")
    assert cleared == [True]
    assert outcome == "7.5 of 20 points."


def test_does_a_warning_of_the_judge_not_reach_the_cell(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    reply = json.dumps({"replies": [{"state": "scored", "points": 7.5, "reason": ""}]})
    judge_that(
        monkeypatch, f"import os, warnings; warnings.warn('harmless'); os.write(2, b'log'); print({reply!r})"
    )
    assert job_points("night-call", maximum=20) == 7.5
    assert capfd.readouterr().err == ""


def test_is_a_judge_without_end_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    judge_that(monkeypatch, "import time; time.sleep(3600)")
    monkeypatch.setattr(cell, "TIMEOUT_S", 0.5)
    assert job_points("night-call", maximum=20) == 0.0


def test_does_showing_a_write_up_never_fail(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    show_write_up("night-call")
    attempt = start("night-call", "A17", tmp_path / "night-call.jsonl")
    show_write_up("night-call")
    attempt.do("write_up", complaint="dark", cause="<b>F13</b>", correction="new")
    show_write_up("night-call")
    (tmp_path / "night-call.jsonl").write_text("garbage")
    show_write_up("night-call")
    assert capsys.readouterr().out.splitlines()[:5] == [
        "there is no attempt in night-call.jsonl yet.",
        "the job card holds no write-up yet.",
        "complaint: dark",
        "cause: <b>F13</b>",
        "correction: new",
    ]


@pytest.mark.parametrize("value", [np.float64(3.0), np.True_, 3, True, None, "3", math.nan, -0.1, 20.1])
def test_does_only_a_plain_number_within_bounds_count(value: object) -> None:
    with pytest.raises(ValueError, match="where a number from 0 to 20 belongs"):
        as_points(value, 20)


def test_is_the_last_bit_of_a_sum_forgiven() -> None:
    # 60 times 0.1 summed: 6.000000000000001 in binary floating point.
    assert as_points(20.0 + 1e-12, 20) == 20.0
    assert as_points(-1e-12, 20) == 0.0


def test_is_a_folder_without_an_attempt_nothing_with_the_reason(tmp_path: Path) -> None:
    reply = evaluate("job_points", {"order": "night-call", "maximum": 20}, Submission(tmp_path))
    assert reply == {
        "state": "absent",
        "points": 0.0,
        "reason": "there is no attempt in night-call.jsonl yet.",
    }


@pytest.mark.parametrize(
    "content",
    [b"garbage", b"{}\n", b"[]\n", b"\x00" * 100, b"{" * 50_000, b'{"format": "parked-hvac attempt"}\n'],
)
def test_is_garbage_refused_without_points(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "night-call.jsonl").write_bytes(content)
    reply = evaluate("job_points", {"order": "night-call", "maximum": 20}, Submission(tmp_path))
    assert reply["state"] == "refused"
    assert reply["points"] is None
    assert "night-call.jsonl" in reply["reason"]


def test_is_a_link_to_another_attempt_refused(tmp_path: Path) -> None:
    (tmp_path / "other.jsonl").write_text("{}")
    (tmp_path / "night-call.jsonl").symlink_to(tmp_path / "other.jsonl")
    assert (
        evaluate("job_points", {"order": "night-call", "maximum": 20}, Submission(tmp_path))["state"]
        == "refused"
    )


def test_is_an_unknown_scorer_refused(tmp_path: Path) -> None:
    assert (
        evaluate("full_marks", {"order": "night-call", "maximum": 20}, Submission(tmp_path))["state"]
        == "refused"
    )
