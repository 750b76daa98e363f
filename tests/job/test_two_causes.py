"""Can two causes be named at once, and does a deal of three orders give each learner one fault, two, and none?"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from parked_hvac.bench import closing
from parked_hvac.job.actions import checked
from parked_hvac.job.attempt import resume, start
from parked_hvac.job.errors import Refused
from parked_hvac.job.order import kind_of, order_named, orders
from parked_hvac.job.seal import draw_ticket

PAIR = "aux_battery_weak + lug_corroded_unit_ground"
DEALT = ("before-the-long-run", "not-like-last-year", "over-before-morning")


def test_the_order_of_naming_makes_no_difference() -> None:
    turned = " + ".join(reversed(PAIR.split(" + ")))
    assert checked("conclude", {"cause": turned}) == checked("conclude", {"cause": PAIR}) == {"cause": PAIR}


@pytest.mark.parametrize(
    ("named", "sentence"),
    [
        ("s1_open + a ghost", "No cause is called 'a ghost'"),
        ("s1_open + b1_open + b2_open", "name at most 2"),
        ("nothing_wrong + s1_open", "one or the other"),
        ("s1_open +", "No cause is called"),
    ],
)
def test_what_cannot_be_named_together_is_refused(named: str, sentence: str) -> None:
    with pytest.raises(Refused, match=sentence):
        checked("conclude", {"cause": named})


def test_the_same_cause_twice_is_one() -> None:
    assert checked("conclude", {"cause": "s1_open + s1_open"}) == {"cause": "s1_open"}


def test_two_causes_stand_on_the_card_and_come_up_for_repair_one_after_the_other(tmp_path: Path) -> None:
    attempt = start("salt-and-age", "A17", tmp_path / "a.jsonl")
    attempt.do("conclude", cause=PAIR)
    assert "one battery weak and Corroded ground lug" in closing.cause_view(attempt)["note"]
    assert closing.repair_view(attempt)["chosen"] == "aux_battery_weak"
    for step in ("chock_wheels", "eye_protection", "rings_off"):
        attempt.do("prepare", step=step)
    attempt.do("open_cover", cover="aux_bank_lid")
    attempt.do("repair", fault="aux_battery_weak")
    again = resume(attempt.path)
    assert again.concluded == PAIR
    assert closing.repair_view(again)["chosen"] == "lug_corroded_unit_ground"


@pytest.mark.parametrize("key", [None, "a class key of some length"])
def test_every_learner_is_dealt_one_fault_two_and_none(key: str | None) -> None:
    assert {name for name, order in orders().items() if order.deal == "lesson-11"} == set(DEALT)
    hands = Counter(
        tuple(kind_of(draw_ticket(order_named(name), f"A{n}", key).faults) for name in DEALT)
        for n in range(120)
    )
    assert all(sorted(hand) == ["none", "one", "two"] for hand in hands)
    # All six ways to deal occur; in 120 hands the rarest is missed with a probability below 1e-8.
    assert len(hands) == 6


def test_neighbours_are_not_dealt_alike() -> None:
    found = {draw_ticket(order_named(name), f"A{n}").faults for name in DEALT for n in range(60)}
    assert found >= {group for name in DEALT for group in order_named(name).causes}
