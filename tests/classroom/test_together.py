"""Submissions scored together get the marks that each alone would get, and none can spoil another's."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import pytest

from parked_hvac.assessment import apart
from parked_hvac.classroom import clean
from parked_hvac.classroom.clean import Limits, Work, score_together
from parked_hvac.classroom.exercises import Exercise
from parked_hvac.classroom.guarded import Overrun

JOB = Exercise("job", 60.0, "job_points", (("order", "night-call"), ("maximum", 60.0)))


def work(learner: str) -> Work:
    return Work([JOB], Path(f"/none/{learner}"), learner, "key")


def reply(request: dict[str, object]) -> dict[str, object]:
    points = 10.0 + int(str(request["learner"])[1:])
    return {"replies": [{"state": "scored", "points": points, "reason": ""}]}


def test_does_a_process_that_fails_leave_each_submission_to_one_of_its_own(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[list[str]] = []

    def run(command: Sequence[str], request: bytes, *_: object) -> bytes:
        many = json.loads(request)["many"]
        asked.append([one["learner"] for one in many])
        if "K2" in asked[-1]:
            raise Overrun("it took longer than 900 s.")
        return json.dumps({"many": [reply(one) for one in many]}).encode()

    monkeypatch.setattr(clean, "run_guarded", run)
    found = score_together([work(name) for name in ("K1", "K2", "K3")], Limits())
    assert [marks[0].points for marks in found] == [11.0, None, 13.0]
    assert found[1][0].state == "refused"
    assert "longer than 900 s" in found[1][0].reason
    assert asked == [["K1", "K2", "K3"], ["K1"], ["K2"], ["K3"]]
    # And where nothing fails, one process does for all.
    asked.clear()
    assert [marks[0].points for marks in score_together([work("K4"), work("K5")], Limits())] == [14.0, 15.0]
    assert asked == [["K4", "K5"]]


def test_is_a_process_that_leaves_one_out_believed_in_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    def run(command: Sequence[str], request: bytes, *_: object) -> bytes:
        many = json.loads(request)["many"]
        return json.dumps({"many": [reply(one) for one in many[:1]]}).encode()

    monkeypatch.setattr(clean, "run_guarded", run)
    found = score_together([work("K1"), work("K2")], Limits())
    assert [marks[0].points for marks in found] == [11.0, 12.0]


def test_do_replies_keep_the_order_in_which_was_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    beginnings = {"K1": "c", "K2": "a", "K3": "b"}
    taken: list[str] = []

    def answer(request: dict[str, str]) -> dict[str, str]:
        taken.append(request["learner"])
        return {"replies": request["learner"]}

    monkeypatch.setattr(apart, "_beginning", lambda request: beginnings[request["learner"]])
    monkeypatch.setattr(apart, "answer", answer)
    replies = apart.answers([{"learner": name} for name in beginnings])
    assert [one["replies"] for one in replies] == ["K1", "K2", "K3"]
    assert taken == ["K2", "K3", "K1"]
