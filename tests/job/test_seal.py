"""Does a ticket hide the cause from the eye, and can no other stand in for it?"""

from __future__ import annotations

import re
from collections import Counter

import pytest

from parked_hvac.job.attempt import start
from parked_hvac.job.errors import AttemptError, OrderError
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import (
    HAND_OUT_NAME,
    Ticket,
    draw_ticket,
    issue_hand_out,
    read_hand_out,
    seal,
    unseal,
    verify_ticket,
    write_hand_out,
)
from parked_hvac.rig.faults import faults

KEY = b"a class key for tests only"
ORDER = order_named("night-call")


def test_is_a_ticket_the_same_for_the_same_order_learner_and_key():
    assert draw_ticket(ORDER, "A17", KEY) == draw_ticket(ORDER, "A17", KEY.decode())
    assert draw_ticket(ORDER, "A17", KEY) != draw_ticket(ORDER, "A18", KEY)
    assert draw_ticket(ORDER, "A17", KEY) != draw_ticket(ORDER, "A17", b"another class key")
    assert draw_ticket(ORDER, "A17") != draw_ticket(order_named("first-look"), "A17")


def test_do_learners_share_the_causes_of_the_pool_evenly():
    drawn = Counter(draw_ticket(ORDER, f"L{i}", KEY).faults for i in range(2600))
    assert set(drawn) == set(ORDER.causes)
    # 13 causes, 200 each; six standard deviations of a binomial are 82
    assert all(abs(count - 200) < 82 for count in drawn.values())


def test_does_a_file_not_show_the_cause_to_the_eye(tmp_path):
    start("night-call", "A17", tmp_path / "a.jsonl")
    text = (tmp_path / "a.jsonl").read_text(encoding="utf-8")
    assert not any(name in text for name in faults())


def test_do_two_seals_of_one_ticket_differ_and_open_alike():
    ticket = draw_ticket(ORDER, "A17", KEY)
    assert seal(ticket) != seal(ticket)
    assert unseal(seal(ticket)) == ticket


@pytest.mark.parametrize("sealed", ["", "gAAAA", "ü", "x" * 400, "\udcff"])
def test_is_a_ticket_of_elsewhere_a_clear_error(sealed):
    with pytest.raises(AttemptError, match="ask for a new hand-out"):
        unseal(sealed)


def test_is_an_altered_ticket_noticed():
    sealed = seal(draw_ticket(ORDER, "A17", KEY))
    other = "A" if sealed[60] != "A" else "B"
    with pytest.raises(AttemptError, match="cannot be opened"):
        unseal(sealed[:60] + other + sealed[61:])


def test_does_the_class_key_refuse_any_other_ticket():
    ticket = draw_ticket(ORDER, "A17", KEY)
    assert verify_ticket(seal(ticket), ORDER, "A17", KEY) == ticket
    easier = Ticket("night-call", "A17", ("nothing_wrong",), ticket.seed)
    for wrong in (easier, draw_ticket(ORDER, "A18", KEY), draw_ticket(ORDER, "A17")):
        with pytest.raises(AttemptError, match="not the one the class gave A17"):
            verify_ticket(seal(wrong), ORDER, "A17", KEY)


def test_is_a_class_key_of_nothing_refused():
    with pytest.raises(AttemptError, match="too short"):
        draw_ticket(ORDER, "A17", b"")


@pytest.mark.parametrize("learner", ["", " A17", "a/b", "..", "A" * 65, "Ä1", "A|B", "A\n", None, 17])
def test_is_a_learner_id_that_cannot_stand_in_a_file_name_refused(learner):
    with pytest.raises(OrderError, match="is no learner id"):
        draw_ticket(ORDER, learner)


def test_does_a_hand_out_carry_tickets_and_no_key(tmp_path):
    path = tmp_path / HAND_OUT_NAME
    write_hand_out(issue_hand_out("Tuesday", "A17", [ORDER], KEY), path)
    assert KEY not in path.read_bytes()
    assert unseal(read_hand_out(path).tickets["night-call"]) == draw_ticket(ORDER, "A17", KEY)


def handed_out(folder, learner="A17"):
    write_hand_out(issue_hand_out("Tuesday", learner, [ORDER], KEY), folder / HAND_OUT_NAME)


def test_does_start_take_the_ticket_of_the_hand_out_beside(tmp_path):
    handed_out(tmp_path)
    attempt = start("night-call", "A17", tmp_path / "a.jsonl")
    sealed = re.search(r'"ticket":"([^"]+)"', attempt.path.read_text(encoding="utf-8"))
    assert sealed
    assert unseal(sealed[1]) == draw_ticket(ORDER, "A17", KEY)


def test_is_an_order_the_class_did_not_hand_out_drawn_for_self_study(tmp_path):
    handed_out(tmp_path)
    attempt = start("first-look", "A17", tmp_path / "a.jsonl")
    sealed = re.search(r'"ticket":"([^"]+)"', attempt.path.read_text(encoding="utf-8"))
    assert sealed
    assert unseal(sealed[1]) == draw_ticket(order_named("first-look"), "A17")


def test_is_a_hand_out_of_another_learner_refused(tmp_path):
    handed_out(tmp_path, "B02")
    with pytest.raises(AttemptError, match="for learner 'B02', not for 'A17'"):
        start("night-call", "A17", tmp_path / "a.jsonl")
    assert not (tmp_path / "a.jsonl").exists()


def test_is_an_order_missing_in_a_named_hand_out_an_error(tmp_path):
    handed_out(tmp_path)
    with pytest.raises(AttemptError, match="has no ticket for 'first-look'"):
        start("first-look", "A17", tmp_path / "a.jsonl", hand_out=tmp_path / HAND_OUT_NAME)


@pytest.mark.parametrize(
    "content",
    [b"", b"{}", b"[]", b"\xff", b'{"format":"x","version":1,"class_name":"","learner":"","tickets":{}}'],
)
def test_is_a_broken_hand_out_a_clear_error(tmp_path, content):
    path = tmp_path / HAND_OUT_NAME
    path.write_bytes(content)
    with pytest.raises(AttemptError, match=r"hand-out"):
        read_hand_out(path)
