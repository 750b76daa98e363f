"""Does the judge rank people as an instructor would, and does nothing but work make points?"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from parked_hvac.assessment.debrief import debrief
from parked_hvac.assessment.grading import grade
from parked_hvac.job.attempt import Attempt, start
from parked_hvac.job.errors import AttemptError
from parked_hvac.job.seal import unseal

pytestmark = pytest.mark.slow

ORDER, LEARNER = "night-call", "A17"  # this learner's variant of the order hides a burnt contact of relay K1
CAUSE = "k1_contact_burnt"
PREPARED = ("chock_wheels", "eye_protection", "rings_off")


def begun(path: Path, prepared: bool = True) -> Attempt:
    attempt = start(ORDER, learner=LEARNER, path=path)
    header = json.loads(path.read_text(encoding="utf-8").splitlines()[0])
    assert unseal(header["ticket"]).faults == (CAUSE,)
    for step in PREPARED if prepared else ():
        attempt.do("prepare", step=step)
    return attempt


def read(attempt: Attempt, verdict: str | None, verb: str, **arguments: Any) -> None:
    attempt.do(verb, **arguments)
    if verdict is not None:
        attempt.do("judge", reading=attempt.readings[-1].id, verdict=verdict)


def diagnose(attempt: Attempt, flip: bool = False) -> None:
    """A sound path to the cause, with one reading too many; ``flip`` misreads every one of them."""
    good, bad = ("out_of_spec", "in_spec") if flip else ("in_spec", "out_of_spec")
    read(attempt, good, "prove_meter")
    attempt.do("switch_key", position="on")
    attempt.do("switch_parked_cooling", on=True)
    attempt.do("set_blower", step=4)
    attempt.do("set_temperature", celsius=16.0)
    attempt.do("wait", seconds=60.0)
    read(attempt, bad, "feel", location="bunk")
    read(attempt, bad, "read_codes")
    attempt.do("set_blower", step=0)
    attempt.do("wait", seconds=10.0)
    attempt.do("open_cover", cover="unit_lid")
    attempt.do("set_blower", step=4)
    attempt.do("wait", seconds=20.0)
    for red, black in (("X20", "X22"), ("K1.30", "K1.87")):
        read(attempt, bad, "measure", function="dc_volts", red=red, black=black)


def finish(attempt: Attempt) -> None:
    attempt.do("conclude", cause=CAUSE)
    attempt.do("switch_parked_cooling", on=False)
    attempt.do("switch_key", position="off")
    attempt.do("repair", fault=CAUSE)
    attempt.do("switch_key", position="on")
    attempt.do("switch_parked_cooling", on=True)
    attempt.do("wait", seconds=120.0)
    read(attempt, None, "feel", location="bunk")
    attempt.do("write_up", complaint="No cold.", cause="K1: 1.2 V across it.", correction="K1 replaced.")


@pytest.fixture(scope="module")
def totals(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    folder = tmp_path_factory.mktemp("people")
    people: dict[str, Path] = {
        name: folder / f"{name}.jsonl" for name in ("careful", "guesser", "unsafe", "misreader", "changer")
    }
    careful = begun(people["careful"])
    diagnose(careful)
    finish(careful)
    guesser = begun(people["guesser"])
    guesser.do("conclude", cause=CAUSE)
    unsafe = begun(people["unsafe"], prepared=False)
    unsafe.do("switch_key", position="engine")  # indoors, no hose on the exhaust
    unsafe.do("switch_key", position="off")
    diagnose(unsafe)
    finish(unsafe)
    misreader = begun(people["misreader"])
    diagnose(misreader, flip=True)
    misreader.do("conclude", cause="fuse_f13_blown")
    changer = begun(people["changer"])
    changer.do("open_cover", cover="unit_lid")
    for part in ("fuse_f13_blown", "k3_contact_burnt", CAUSE):
        changer.do("repair", fault=part)
    changer.do("conclude", cause=CAUSE)
    return {name: grade(path) for name, path in people.items()}


# The limits are those for simulated learners over all orders; here each stands for one person on one order.
def test_is_careful_work_worth_92_or_more(totals: dict[str, Any]) -> None:
    score = totals["careful"]
    assert score.total >= 92, score.report()
    assert type(score.total) is float
    assert score.certainty >= 0.9


@pytest.mark.parametrize(
    ("person", "most"), [("guesser", 25), ("unsafe", 40), ("misreader", 70), ("changer", 30)]
)
def test_does_luck_danger_misreading_and_changing_parts_stay_below_its_limit(
    totals: dict[str, Any], person: str, most: float
) -> None:
    assert totals[person].total <= most, totals[person].report()


def test_does_a_right_guess_earn_at_most_five_of_the_conclusion(totals: dict[str, Any]) -> None:
    part = next(part for part in totals["guesser"].parts if part.name == "conclusion")
    assert part.points <= 5


def test_does_every_point_lost_say_why_and_what_was_better(totals: dict[str, Any]) -> None:
    for score in totals.values():
        for part in score.parts:
            assert part.points == pytest.approx(
                part.maximum - min(sum(one.points for one in part.lost), part.maximum), abs=0.01
            )
            for loss in part.lost:
                assert loss.reason.endswith((".", "?"))
                assert loss.better.endswith((".", "?"))
                assert loss.line is None or 1 < loss.line <= len(score.case.trace.lines) + 1


def test_does_the_debrief_name_the_cause_the_leap_and_the_best_path(totals: dict[str, Any]) -> None:
    told = debrief(totals["guesser"])
    text = " ".join([told.summary, *(word for s in told.sections for word in (*s.paragraphs, *s.points))])
    assert "Relay K1 (parked feed): contact burnt" in text
    assert "The leap" in text
    assert told.best[-1][1] < told.best[0][1]


def test_is_an_edited_or_unfinished_attempt_refused_with_a_sentence(tmp_path: Path) -> None:
    path = tmp_path / "edited.jsonl"
    attempt = begun(path)
    with pytest.raises(AttemptError, match="names no cause yet"):
        grade(path)
    attempt.do("conclude", cause=CAUSE)
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("chock_wheels", "rings_off", 1), encoding="utf-8")
    with pytest.raises(AttemptError, match="line 2"):
        grade(path)


def test_is_an_attempt_of_another_class_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.jsonl"
    begun(path).do("conclude", cause=CAUSE)
    with pytest.raises(AttemptError):
        grade(path, class_key=b"k" * 32)
