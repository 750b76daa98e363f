"""Does the refresher choose from the placement check, once and for good, and tell what to brush up?"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from parked_hvac.assessment import gathered
from parked_hvac.assessment.apart import Submission, evaluate
from parked_hvac.assessment.card import card_named, leave_card
from parked_hvac.assessment.card_verdicts import judge_verdicts
from parked_hvac.assessment.choice import CHOICE_NAME, PLACEMENT, choose, kept, meant, pool
from parked_hvac.assessment.profile import Evidence, profile
from parked_hvac.bench.lessons import compressor_checks, refresher
from parked_hvac.bench.summary import Notice
from parked_hvac.bench.widget import Bench
from parked_hvac.job.attempt import resume, start
from parked_hvac.job.errors import AttemptError
from parked_hvac.job.order import orders
from parked_hvac.job.script import read_script
from parked_hvac.job.seal import draw_ticket, unseal
from tests.bench.lessons.guided import explained

SCRIPTED = ("a-hum-above", "starts-and-gives-up")


@pytest.fixture(autouse=True)
def here(here: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder below, so that other lessons may lie beside it."""
    folder = here / "refresher"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


def judged(folder: Path, all_right: bool, leave_out: int = 0) -> None:
    """The placement check with verdicts, all right or all wrong."""
    leave_card(PLACEMENT)
    attempt = resume(folder / f"{PLACEMENT}.jsonl")
    header = json.loads(attempt.path.read_text(encoding="utf-8").splitlines()[0])
    right = judge_verdicts(unseal(header["ticket"]), card_named(PLACEMENT), {})
    for reading, one in list(zip(attempt.readings, right, strict=True))[leave_out:]:
        wrong = "in_spec" if one.right != "in_spec" else "tells_nothing"
        attempt.do("judge", reading=reading.id, verdict=one.right if all_right else wrong)


def pressed() -> Any:
    step = refresher.two_orders()
    assert isinstance(step, refresher.Step)
    step.begin()
    step.wait()
    return step


def evidence(skill: str, *shares: float) -> list[Evidence]:
    return [Evidence(skill, share, 1.0, "a test") for share in shares]


def test_is_nothing_chosen_before_every_reading_has_its_verdict(here: Path) -> None:
    assert "no attempt" in pressed().said.value
    judged(here, True, leave_out=2)
    assert "2 readings have no verdict yet" in pressed().said.value
    assert kept(here) is None


def test_is_the_choice_the_same_when_the_notebook_is_opened_again(here: Path) -> None:
    judged(here, False)
    step = pressed()
    first = kept(here)
    assert first is not None
    assert "stay the same" in step.said.value
    before = (here / CHOICE_NAME).read_bytes()
    # Verdicts given anew, and the notebook opened again: the choice stands.
    attempt = resume(here / f"{PLACEMENT}.jsonl")
    for reading in attempt.readings:
        attempt.do("judge", reading=reading.id, verdict="in_spec")
    again = refresher.two_orders()
    again.wait()
    assert (here / CHOICE_NAME).read_bytes() == before
    assert len(again.children) == len(step.children) == 2 + 2 * 2


def test_is_an_order_opened_when_asked_and_at_once_when_it_was_begun(here: Path) -> None:
    judged(here, False)
    step = pressed()
    choice = kept(here)
    assert choice is not None
    assert not list(here.glob(f"{choice.orders[0]}*"))
    box = step.children[3]
    box.children[0].click()
    assert isinstance(box.children[0], Bench)
    again = refresher.two_orders()
    again.wait()
    assert isinstance(again.children[3].children[0], Bench)
    assert not isinstance(again.children[5].children[0], Bench)


def test_do_wrong_and_right_verdicts_lead_to_other_orders() -> None:
    good = [
        *evidence("compressor_drive", 1, 1, 1, 1),
        *evidence("voltage_drop", 1),
        *evidence("controller_link", 1),
    ]
    bad = [Evidence(one.skill, 0.0, 1.0, "a test") for one in good]
    lost, held = choose("A17", profile(bad)), choose("A17", profile(good))
    assert lost.orders != held.orders
    assert lost.orders[0] == "a-hum-above"  # compressor and drive, most in doubt
    assert "brush up" in lost.reasons[0]
    assert "compressor_drive" not in {skill for name in held.orders for skill in orders()[name].skills}


def test_does_work_in_earlier_lessons_change_the_choice() -> None:
    card = [
        *evidence("compressor_drive", 1, 1, 1, 1),
        *evidence("voltage_drop", 1),
        *evidence("controller_link", 1),
    ]
    shown = evidence("refrigerant_inference", *[1.0] * 6) + evidence("inside_unit", *[1.0] * 6)
    assert choose("A17", profile(card)).orders[0] == "ten-cool-minutes"
    assert "ten-cool-minutes" not in choose("A17", profile(card + shown)).orders


def test_are_five_orders_there_to_choose_from_over_several_families() -> None:
    assert len(pool()) >= 5
    skills = {skill for order in pool() for skill in order.skills}
    assert {
        "compressor_drive",
        "controller_link",
        "voltage_drop",
        "refrigerant_inference",
        "sensors",
    } <= skills


@pytest.mark.parametrize(
    "text",
    [
        "{",
        '{"version": 1, "learner": "A17", "orders": ["a-hum-above", "a-hum-above"], "reasons": ["", ""]}',
        '{"version": 1, "learner": "A17", "orders": ["night-call", "a-hum-above"], "reasons": ["", ""]}',
        '{"version": 2, "learner": "A17", "orders": ["a-silent-roof", "a-hum-above"], "reasons": ["", ""]}',
    ],
)
def test_is_a_choice_made_by_hand_refused_and_never_written_over(text: str, here: Path) -> None:
    (here / CHOICE_NAME).write_text(text, encoding="utf-8")
    with pytest.raises(AttemptError, match="choose again"):
        kept(here)
    assert CHOICE_NAME in pressed().said.value
    reply = evaluate("job_points", {"order": "first-order", "maximum": 30}, Submission(here))
    assert (reply["state"], reply["points"]) == ("refused", None)
    assert (here / CHOICE_NAME).read_text(encoding="utf-8") == text


def test_do_the_graded_names_stand_for_the_chosen_orders(here: Path) -> None:
    assert meant(here, "night-call") == "night-call"
    assert meant(here, "first-order") is None
    reply = evaluate("job_points", {"order": "second-order", "maximum": 30}, Submission(here))
    assert (reply["state"], reply["points"]) == ("absent", 0.0)
    judged(here, False)
    pressed()
    choice = kept(here)
    assert choice is not None
    assert (meant(here, "first-order"), meant(here, "second-order")) == choice.orders


def test_is_another_learner_s_card_in_the_next_folder_left_out(here: Path) -> None:
    other = here.parent / "lesson-11-the-whole-job"
    other.mkdir()
    for name, learner in (("last-round", "B4"), ("colleagues-card", "A17")):
        attempt = start(name, learner, other / f"{name}.jsonl")
        for step in card_named(name).steps:
            attempt.do(step.verb, **step.arguments)
        attempt.do("judge", reading="r1", verdict="in_spec")
    said: list[str] = []
    found = gathered.earlier(here, "A17", jobs=False, say=said.append)
    assert said == ["Looking at A colleague's card …"]
    assert sum(one.weight for one in found) == pytest.approx(6.0)


def test_does_the_profile_say_what_to_brush_up(here: Path) -> None:
    judged(here, False)
    step = refresher.my_profile()
    step.begin()
    step.wait()
    text = "".join(child.value for child in step.children if hasattr(child, "value"))
    assert "What your work says about each skill" in text
    assert "<li><b>Compressor and drive</b>: lesson" in text


def test_does_nothing_begin_while_nbgrader_runs_it(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    assert isinstance(refresher.two_orders(), Notice)
    assert isinstance(refresher.my_profile(), Notice)
    assert not list(here.iterdir())


def test_are_there_eight_items_all_explained_and_a_sound_truck_in_spec() -> None:
    explained(compressor_checks.check_yourself)
    # The spec sheet's own limits for enable, feed, ground and a leg of the drive.
    limits = ((11.0, 13.2), (0.0, 0.45), (0.0, 0.45), (5.4, 6.8))
    rows = compressor_checks.four_reasons().rows
    for (_, shown), (low, high) in zip(rows, limits, strict=True):
        assert low <= float(shown.split(" V")[0]) <= high
    assert 7.0 <= float(rows[3][1].split(", ")[1].removesuffix(" kHz")) <= 7.4


@pytest.mark.parametrize("order", SCRIPTED)
@pytest.mark.parametrize("kind", ["right", "wrong"])
def test_does_the_script_name_what_hides_there_or_not(
    order: str, kind: str, repository: Path, tmp_path: Path
) -> None:
    attempt = start(order, "A17", tmp_path / "a.jsonl")
    for step in read_script(repository / f"tests/orders/{order}.{kind}.jsonl"):
        attempt.do(step.action, **step.arguments)
    hidden = " + ".join(draw_ticket(orders()[order], "A17").faults)
    assert (attempt.concluded == hidden) is (kind == "right")
