"""Attacks with the work, the ticket or the order of somebody else."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import msgspec
import pytest

from parked_hvac.job.attempt import start
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import Ticket, draw_ticket, seal, unseal
from tests.attacks.forger import (
    KEY,
    LEARNER,
    NAME,
    ORDER,
    OTHER,
    OTHER_KEY,
    Row,
    assert_earns_nothing,
    begun,
    forge,
    honest,
    marked,
)

NOT_THE_CLASS_S = "is not the one the class gave"


def _header(**changes: Any) -> Any:
    def change(rows: list[Row]) -> None:
        rows[0].update(changes)

    return change


def test_another_learner_s_log(tmp_path: Path) -> None:
    others = honest(tmp_path / OTHER, OTHER)
    begun(tmp_path / LEARNER)
    shutil.copy(others, tmp_path / LEARNER / NAME)
    assert_earns_nothing(marked(tmp_path / LEARNER), f"is the attempt of '{OTHER}', not of '{LEARNER}'")


def test_another_learner_s_log_under_ones_own_name(tmp_path: Path) -> None:
    others = honest(tmp_path / OTHER, OTHER)
    begun(tmp_path / LEARNER)
    forge(shutil.copy(others, tmp_path / LEARNER / NAME), _header(learner=LEARNER))
    assert_earns_nothing(marked(tmp_path / LEARNER), NOT_THE_CLASS_S)


def test_the_same_with_ones_own_ticket(tmp_path: Path) -> None:
    """The steps of another, replayed on one's own truck, do not show what the file says they showed."""
    others = honest(tmp_path / OTHER, OTHER)
    own = begun(tmp_path / LEARNER).path
    ticket = msgspec.json.decode(own.read_bytes().splitlines()[0])["ticket"]
    assert unseal(ticket) != unseal(msgspec.json.decode(others.read_bytes().splitlines()[0])["ticket"])
    forge(shutil.copy(others, own), _header(learner=LEARNER, ticket=ticket))
    assert_earns_nothing(marked(tmp_path / LEARNER), "where a replay gives")


def test_a_log_under_another_key(tmp_path: Path) -> None:
    honest(tmp_path, key=OTHER_KEY)
    assert_earns_nothing(marked(tmp_path), NOT_THE_CLASS_S)


def test_a_self_study_attempt_handed_in(tmp_path: Path) -> None:
    """In self-study the cause can be tried until it is known; such an attempt is not the class's."""
    attempt = start(ORDER, LEARNER, tmp_path / NAME)
    attempt.do("conclude", cause="k1_contact_burnt")
    assert_earns_nothing(marked(tmp_path), NOT_THE_CLASS_S)


@pytest.mark.parametrize("what", ["an easy cause", "another truck", "another order"])
def test_a_ticket_of_one_s_own_making(tmp_path: Path, what: str) -> None:
    """The seal is a curtain: its key can be read in the course. The class derives the ticket anew."""
    true = draw_ticket(order_named(ORDER), LEARNER, KEY)
    made = {
        "an easy cause": Ticket(ORDER, LEARNER, ("fuse_f13_blown",), true.seed),
        "another truck": Ticket(ORDER, LEARNER, true.faults, true.seed + 1),
        "another order": draw_ticket(order_named("first-look"), LEARNER, KEY),
    }[what]
    assert made != true
    forge(honest(tmp_path), _header(ticket=seal(made)))
    assert_earns_nothing(marked(tmp_path), NOT_THE_CLASS_S)


@pytest.mark.parametrize("ticket", ["", "x", "gAAAAA", "…", "A" * 5_000])
def test_a_ticket_that_is_none(tmp_path: Path, ticket: str) -> None:
    forge(honest(tmp_path), _header(ticket=ticket))
    assert_earns_nothing(marked(tmp_path), "cannot be opened")


def test_an_easier_order_in_its_place(tmp_path: Path) -> None:
    attempt = start("first-look", LEARNER, tmp_path / NAME)
    attempt.do("conclude", cause="nothing_wrong")
    assert_earns_nothing(marked(tmp_path), "holds an attempt at 'first-look'")
    forge(tmp_path / NAME, _header(order=ORDER))
    assert_earns_nothing(marked(tmp_path), NOT_THE_CLASS_S)


def test_a_learner_id_that_is_a_path(tmp_path: Path) -> None:
    forge(honest(tmp_path), _header(learner="../A17"))
    assert_earns_nothing(marked(tmp_path), "is the attempt of '../A17'")


def test_a_look_alike_learner_id(tmp_path: Path) -> None:
    forge(honest(tmp_path), _header(learner="А17"))
    assert_earns_nothing(marked(tmp_path), f"not of '{LEARNER}'")


def test_seals_tried_until_one_fits(tmp_path: Path) -> None:
    """Two seals of one ticket differ, so nothing is learnt from comparing them; sealed anew it is the same work."""
    one, two = (seal(draw_ticket(order_named(ORDER), LEARNER, KEY)) for _ in range(2))
    assert one != two
    before = honest(tmp_path)
    text = before.read_bytes()
    forge(before, _header(ticket=one))
    assert before.read_bytes() != text
    # Not refused, and not worth more either: the ticket inside is the class's own.
    assert unseal(one) == unseal(two)
