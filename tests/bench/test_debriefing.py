"""Does the debrief come without blocking the bench, once per state of the attempt, and as a sentence when it cannot?"""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

import pytest

from parked_hvac.bench.debriefing import debrief_view, judged_view
from parked_hvac.bench.judging import Judging
from parked_hvac.bench.widget import Bench
from parked_hvac.job.attempt import Attempt
from parked_hvac.job.errors import AttemptError

FOUND = {"kind": "debrief", "title": "Debrief", "summary": "72 of 100 points."}


def judging(judge: Any) -> tuple[Judging, list[str]]:
    calls: list[str] = []
    return Judging(judge, lambda: calls.append("done")), calls


def test_while_the_judge_is_at_work_the_panel_says_so() -> None:
    may_end = threading.Event()

    def slow(_: Path) -> dict[str, Any]:
        may_end.wait()
        return FOUND

    judge, calls = judging(slow)
    judge.ask(Path("a.jsonl"), 3)
    assert judge.at_work
    assert "The judge does your job again" in debrief_view(judge)["blocks"][0]["paragraphs"][0]
    may_end.set()
    judge.wait()
    assert debrief_view(judge) == FOUND
    assert calls == ["done"]


def test_the_same_lines_are_judged_once_and_more_lines_anew() -> None:
    asked: list[Path] = []
    judge, _ = judging(lambda path: asked.append(path) or FOUND)
    for lines in (3, 3, 4):
        judge.ask(Path("a.jsonl"), lines)
        judge.wait()
    assert len(asked) == 2


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (AttemptError("line 4 was edited: restore it."), "line 4 was edited: restore it."),
        (KeyError("planted"), "The judge stumbled (KeyError: 'planted')."),
    ],
)
def test_a_judge_that_cannot_says_why(error: Exception, says: str) -> None:
    def fails(_: Path) -> dict[str, Any]:
        raise error

    judge, calls = judging(fails)
    judge.ask(Path("a.jsonl"), 1)
    judge.wait()
    assert debrief_view(judge)["blocks"][0]["paragraphs"][0].startswith(says)
    assert calls == ["done"]


def test_there_is_no_debrief_before_a_cause_is_named(desk: Bench) -> None:
    desk.receive({"do": "open", "panel": "debrief"})
    assert desk._panels["picture"].view["refused"] == "There is no debrief yet: name the cause first."
    assert not desk.judging.at_work


def test_the_bench_shows_the_debrief_when_it_is_ready(desk: Bench) -> None:
    desk.judging = Judging(lambda _: FOUND, desk.show)
    desk.receive({"do": "act", "verb": "conclude", "cause": "nothing_wrong"})
    desk.receive({"do": "open", "panel": "debrief"})
    desk.judging.wait()
    assert desk._panels["panel"].view["summary"] == "72 of 100 points."


@pytest.mark.slow
def test_a_real_judgement_becomes_a_view_of_seven_parts_with_a_plot_in_words(attempt: Attempt) -> None:
    attempt.do("prove_meter")
    attempt.do("switch_key", position="on")
    attempt.do("measure", function="dc_volts", red="F6.1", black="F6.2")
    attempt.do("conclude", cause="nothing_wrong")
    view = judged_view(attempt.path)
    assert "of 100 points" in view["summary"]
    assert len(view["parts"]) == 7
    assert sum(part["maximum"] for part in view["parts"]) == 100
    assert "Best path found: " in view["plot"]["words"]
    assert view["blocks"][0]["heading"] == "What it was"
