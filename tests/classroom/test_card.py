"""A colleague's card is left once, on the learner's own variant, and never touched again."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from parked_hvac.assessment.card import begun_as, card_named, leave_card
from parked_hvac.assessment.card_verdicts import judge_verdicts
from parked_hvac.job.attempt import resume, start
from parked_hvac.job.order import order_named, orders
from parked_hvac.job.seal import Ticket
from parked_hvac.places import data_dir
from parked_hvac.tables import DataError
from tests.classroom.learners import CARD, LESSON, RIGHT_VERDICTS


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of a lesson, as the notebook's kernel sees it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    return tmp_path


def test_is_the_card_left_with_all_its_readings_and_no_verdict(here: Path) -> None:
    assert leave_card(CARD) == CARD
    attempt = resume(here / f"{CARD}.jsonl")
    assert len(attempt.entries) == len(card_named(CARD).steps)
    assert len(attempt.readings) == 6
    assert attempt.verdicts == {}
    assert attempt.learner == "self-study"


def test_is_it_the_variant_of_the_one_who_got_the_hand_out(
    here: Path, taken_home: Callable[[str], Path]
) -> None:
    shutil.copy(taken_home("B02") / LESSON / "hand-out.json", here)
    leave_card(CARD)
    assert resume(here / f"{CARD}.jsonl").learner == "B02"


def test_does_leaving_it_again_change_nothing(here: Path) -> None:
    leave_card(CARD)
    attempt = resume(here / f"{CARD}.jsonl")
    attempt.do("judge", reading=attempt.readings[0].id, verdict="in_spec")
    attempt.do("look", location="cab")
    before = (here / f"{CARD}.jsonl").read_bytes()
    leave_card(CARD)
    assert (here / f"{CARD}.jsonl").read_bytes() == before


def test_is_a_card_that_was_cut_off_in_the_middle_finished(here: Path) -> None:
    leave_card(CARD)
    path = here / f"{CARD}.jsonl"
    whole = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(whole[:9]))
    leave_card(CARD)
    assert path.read_bytes().splitlines(keepends=True)[1:] == whole[1:]


def test_does_nothing_begin_while_nbgrader_runs_the_notebook(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    assert leave_card(CARD) == CARD
    assert list(here.iterdir()) == []


def test_is_a_damaged_card_left_for_the_bench_to_tell(here: Path) -> None:
    (here / f"{CARD}.jsonl").write_text("damaged")
    assert leave_card(CARD) == CARD
    assert (here / f"{CARD}.jsonl").read_text() == "damaged"


def test_is_an_attempt_of_ones_own_no_card(here: Path) -> None:
    attempt = start(CARD, "A17", here / f"{CARD}.jsonl")
    attempt.do("look", location="cab")
    assert not begun_as(attempt, card_named(CARD))
    leave_card(CARD)
    assert len(resume(here / f"{CARD}.jsonl").entries) == 1


def test_is_an_unknown_card_told_with_the_nearest() -> None:
    with pytest.raises(DataError, match=f"did you mean '{CARD}'"):
        card_named("colleague-card")


def test_has_every_card_an_order_of_its_name() -> None:
    for path in (data_dir() / "cards").glob("*.toml"):
        assert path.stem in orders()


@pytest.mark.parametrize("cause", RIGHT_VERDICTS)
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_are_the_verdicts_right_that_a_person_gives_by_the_spec_sheet(cause: str, seed: int) -> None:
    ticket = Ticket(CARD, "A17", (cause,), seed)
    assert [one.right for one in judge_verdicts(ticket, card_named(CARD), {})] == RIGHT_VERDICTS[cause]


def test_does_every_cause_of_the_order_have_its_verdicts_here() -> None:
    assert {cause for (cause,) in order_named(CARD).causes} == set(RIGHT_VERDICTS)


def test_does_only_a_right_verdict_earn_anything() -> None:
    ticket = Ticket(CARD, "A17", ("holder_f1_corroded",), 1)
    said = {"r1": "in_spec", "r2": "tells_nothing", "r3": "in_spec", "r6": "in_spec"}
    judged = judge_verdicts(ticket, card_named(CARD), said)
    assert [one.earned for one in judged] == [True, False, False, False, False, True]
