"""Does the profile of skills say what its published method says, and does it choose what a person would?"""

from __future__ import annotations

import json
import math
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parked_hvac.assessment.beta import below, quantile
from parked_hvac.assessment.card import card_named
from parked_hvac.assessment.card_verdicts import judge_verdicts
from parked_hvac.assessment.profile import Evidence, Level, of_card, of_job, of_plain, profile
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import draw_ticket
from parked_hvac.job.skills import skills
from parked_hvac.rig.catalogue import catalogue

PLACEMENT = "placement-check"


def test_the_interval_is_that_of_another_program(repository: Path) -> None:
    kept = repository / "tests/reference/authorities/jeffreys_interval.json"
    for good, trials, level, low, high in json.loads(kept.read_text(encoding="utf-8"))["value"]:
        tail = (1.0 - level) / 2.0
        alpha, beta = good + 0.5, trials - good + 0.5
        assert quantile(tail, alpha, beta) == pytest.approx(low, rel=1e-9)
        assert quantile(1.0 - tail, alpha, beta) == pytest.approx(high, rel=1e-9)
        if level == 0.9:
            assert Level("x", good, trials - good).interval == pytest.approx((low, high), rel=1e-9)


# Closed forms: no evidence is the arcsine law, whose quantile is sin²(πp/2); Beta(n, 1) has p^(1/n).
# Tolerance: 15 digits of the reference, a dozen terms of the fraction.
@pytest.mark.parametrize("p", [0.001, 0.05, 0.3, 0.5, 0.95])
def test_closed_forms(p: float) -> None:
    assert quantile(p, 0.5, 0.5) == pytest.approx(math.sin(math.pi * p / 2) ** 2, rel=1e-10)
    assert quantile(p, 7.0, 1.0) == pytest.approx(p ** (1 / 7), rel=1e-10)


@given(st.integers(1, 30), st.integers(1, 30), st.floats(0.01, 0.99))
@settings(max_examples=60, deadline=None)
def test_whole_parameters_give_a_sum_of_binomials(a: int, b: int, share: float) -> None:
    n = a + b - 1
    told = sum(math.comb(n, k) * share**k * (1 - share) ** (n - k) for k in range(a, n + 1))
    # The sum itself loses some 1e-13 of its largest term.
    assert below(share, a, b) == pytest.approx(told, rel=1e-10, abs=1e-13)


# Shares whose rest to one is exact: 1 - 4e-15 is off by a hundredth of 4e-15, of which the root is taken at a = 0.5.
@given(st.floats(0.5, 40), st.floats(0.5, 40), st.integers(0, 2**20).map(lambda part: part / 2**20))
@settings(max_examples=60, deadline=None)
def test_what_is_below_and_what_is_above_make_one(a: float, b: float, share: float) -> None:
    assert below(share, a, b) + below(1.0 - share, b, a) == pytest.approx(1.0, abs=1e-12)


def test_parameters_that_are_none_are_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        below(0.5, 0.0, 1.0)


def test_no_evidence_is_no_judgement() -> None:
    for level in profile(()).values():
        assert (level.share, level.words) == (0.5, "no evidence yet")
        assert level.interval[1] - level.interval[0] > 0.98


def test_more_of_the_same_narrows_and_moves() -> None:
    widths, doubts = [], []
    for count in (1, 4, 16):
        level = profile([Evidence("sensors", 1.0, 1.0, "a card")] * count)["sensors"]
        widths.append(level.interval[1] - level.interval[0])
        doubts.append(level.doubt)
    assert widths == sorted(widths, reverse=True)
    assert doubts == sorted(doubts, reverse=True)
    assert profile([Evidence("sensors", 1.0, 1.0, "a card")] * 16)["sensors"].words == "held"
    assert profile([Evidence("sensors", 0.0, 1.0, "a card")] * 2)["sensors"].words == "brush up"


@pytest.mark.parametrize("weight", [0.4, 1.0, 1.5])
@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_one_piece_of_work_is_too_little_for_a_verdict(weight: float, share: float) -> None:
    assert profile([Evidence("sensors", share, weight, "a card")])["sensors"].words == "too early to tell"


@pytest.mark.parametrize("good", range(9))
def test_only_an_interval_that_lies_low_says_brush_up(good: int) -> None:
    level = Level("sensors", float(good), 8.0 - good)
    assert (level.words == "brush up") == (quantile(0.9, good + 0.5, 8.5 - good) < 0.8)
    assert not (level.held and level.words in ("brush up", "not sure yet"))


def test_one_slip_among_four_is_not_sure_yet() -> None:
    assert Level("sensors", 3.0, 1.0).words == "not sure yet"


def test_a_share_splits_its_trial() -> None:
    level = profile([Evidence("sensors", 0.25, 2.0, "a card")])["sensors"]
    assert (level.good, level.bad) == (0.5, 1.5)
    assert level.share == pytest.approx(1.0 / 3.0)


def test_each_verdict_of_the_placement_check_speaks_for_one_skill() -> None:
    card, order = card_named(PLACEMENT), order_named(PLACEMENT)
    for learner in ("A17", "A18", "A19", "A20"):
        ticket = draw_ticket(order, learner)
        blank = judge_verdicts(ticket, card, {})
        assert len(blank) == 6
        right = judge_verdicts(ticket, card, {f"r{n}": one.right for n, one in enumerate(blank, 1)})
        assert all(one.earned for one in right)
        for judged, share in ((blank, 0.0), (right, 1.0)):
            found = of_card(PLACEMENT, judged)
            assert sum(one.weight for one in found) == pytest.approx(6.0)
            assert {one.share for one in found} == {share}
            assert {"compressor_drive", "voltage_drop", "controller_link"} >= {one.skill for one in found}


def test_plain_data_come_back_and_a_skill_that_is_gone_is_left_out() -> None:
    kept = Evidence("sensors", 0.5, 1.0, "x")
    assert of_plain([kept.plain(), kept.plain() | {"skill": "juggling"}]) == (kept,)


def test_every_section_of_the_spec_sheet_belongs_to_a_skill() -> None:
    named = {section for skill in skills().values() for section in skill.sheet}
    sections = {entry.section for entry in catalogue().spec_sheet.values()}
    assert sections <= named
    assert {name.partition(", off")[0] for name in named} <= sections


def scored(named: str, right: bool, conclusion: float) -> Any:
    """The parts of a score that a profile looks at; the judge's own make no difference here."""
    points = {
        "safe": 15,
        "complaint": 5,
        "technique": 15,
        "understanding": 10,
        "conclusion": conclusion,
        "repair": 5,
    }
    whole = {"safe": 15, "complaint": 10, "technique": 15, "understanding": 20, "conclusion": 25, "repair": 5}
    parts = [SimpleNamespace(name=name, points=points[name], maximum=whole[name]) for name in whole]
    cause = "k3_contact_burnt + lug_corroded_unit_ground"
    case = SimpleNamespace(named_right=right)
    return SimpleNamespace(order="not-like-last-year", parts=parts, cause=cause, named=named, case=case)


@pytest.mark.parametrize(
    ("named", "right", "conclusion", "relays", "drop"),
    [
        ("k3_contact_burnt + lug_corroded_unit_ground", True, 25.0, 1.0, 1.0),
        ("k3_contact_burnt", False, 12.0, 1.0, 0.0),
        ("lug_corroded_unit_ground", False, 12.0, 0.0, 1.0),
        ("m2_worn", False, 0.0, 0.0, 0.0),
    ],
)
def test_a_job_speaks_for_habits_and_for_the_skill_of_each_cause(
    named: str, right: bool, conclusion: float, relays: float, drop: float
) -> None:
    found = of_job(scored(named, right, conclusion))
    carried = {one.skill: one.share for one in found if one.source.endswith("conclusion")}
    assert carried == {"relays_feeds": relays, "voltage_drop": drop}
    habits = {one.skill: one.share for one in found}
    assert (habits["safe_work"], habits["confirm_complaint"], habits["write_up"]) == (1.0, 0.5, 1.0)
    understood = [one for one in found if one.source.endswith("readings understood")]
    assert sum(one.weight for one in understood) == pytest.approx(1.0)
    assert {one.share for one in understood} == {0.5}
