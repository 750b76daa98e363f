"""Does the judge rank made-up learners as an instructor would, on one order; all orders: ``parked-hvac judge learners``."""

from __future__ import annotations

from pathlib import Path

import pytest

from parked_hvac.assessment.case import best_for, cut, open_case, retraced
from parked_hvac.assessment.simulated import LEARNERS
from parked_hvac.assessment.trial import ABLE, LIMITS, Result, area_under_roc, roc, standings
from parked_hvac.assessment.trial_report import TABLE, table_text, write_report
from parked_hvac.assessment.trial_run import run_trial
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import draw_ticket

EXPERT, FOLLOWER = ABLE


def one(learner: str, total: float, order: str = "o", cause: str = "c", variant: str = "V001") -> Result:
    return Result(order, variant, cause, learner, total, {"safe": 15.0}, 0.9, 30.0, 20.0)


# By hand: of the 2 x 3 pairs the able one is above in 4, level in 1: (4 + 0.5) / 6.
MIXED = [
    one(EXPERT, 90),
    one(FOLLOWER, 70),
    one("misreader", 70),
    one("misreader", 80),
    one("lucky guesser", 5),
]


def test_the_area_counts_pairs_and_half_of_ties() -> None:
    assert area_under_roc(MIXED) == pytest.approx(4.5 / 6)


def test_the_area_is_that_under_the_curve() -> None:
    others, able = roc(MIXED)
    trapezia = sum(
        (b - a) * (c + d) / 2 for a, b, c, d in zip(others, others[1:], able, able[1:], strict=False)
    )
    assert trapezia == pytest.approx(area_under_roc(MIXED))
    assert (others[0], able[0], others[-1], able[-1]) == (0.0, 0.0, 1.0, 1.0)


def test_a_limit_that_is_not_kept_is_told(tmp_path: Path) -> None:
    found = {line.learner: line for line in standings(MIXED)}
    assert not found[EXPERT].kept
    assert not found["misreader"].kept
    assert found["lucky guesser"].kept
    table, curve = write_report(MIXED, tmp_path)
    assert "**no**" in table.read_text("utf-8")
    assert "0.7500 (at least 0.99 is asked for; **not kept**)" in table.read_text("utf-8")
    assert "<svg" in curve.read_text("utf-8")


def test_a_cause_that_is_judged_apart_from_its_order_shows() -> None:
    (line,) = standings(
        [one(EXPERT, 100, cause="a"), one(EXPERT, 100, cause="a"), one(EXPERT, 85, cause="b")]
    )
    assert line.off == pytest.approx(10.0)


def test_a_mean_that_hangs_on_the_trucks_drawn_shows() -> None:
    """Of two orders the wider counts; an order that was played on one truck alone has no halves."""
    played = [one(EXPERT, 90.0 + number % 2, "a", variant=f"V{number:03}") for number in range(1, 101)]
    played += [one(EXPERT, 90.0 + 6 * (number % 2), "b", variant=f"V{number:03}") for number in range(1, 101)]
    played += [one(EXPERT, 20.0, "c")]
    played += [one("misreader", 50.0)]
    assert standings(played)[0].apart == pytest.approx(6.0)
    assert "| 6.0 | 0.0 |" in table_text(played)
    assert "| few trucks | 0.0 |" in table_text([*played[:99], played[-1]])


def test_has_every_learner_a_limit() -> None:
    assert set(LIMITS) == set(LEARNERS)


@pytest.mark.slow
def test_are_the_learners_of_one_order_ranked_as_a_person_would(tmp_path: Path) -> None:
    """The limits are those of the means over all orders; on this one each learner keeps their own."""
    kept = tmp_path / "kept.jsonl"
    told = run_trial(["night-call"], 1, lambda *_: None, tmp_path, kept)
    assert all(row["kept"] for row in told.rows if "kept" in row), told.rows
    assert told.area == 1.0
    assert len(kept.read_bytes().splitlines()) == len(LEARNERS)
    again = run_trial(["night-call"], 1, lambda *_: None, None, kept)
    assert again.rows == told.rows


def test_is_a_case_cut_off_the_case_of_someone_who_did_no_more() -> None:
    order = order_named("night-call")
    ticket = draw_ticket(order, "V001")
    acts = best_for(ticket).actions
    shorter = len(acts) - 3
    whole, short = (open_case(order, ticket, retraced(ticket, some)) for some in (acts, acts[:shorter]))
    found = cut(whole, shorter)
    # As text, since a context may hold values that are no number and so equal nothing.
    assert repr(found.trace) == repr(short.trace)
    assert repr(found.seen) == repr(short.seen)
    assert found.analysis.posterior.tolist() == short.analysis.posterior.tolist()
    assert found.certain_at == short.certain_at
    assert repr(cut(whole, len(acts)).trace) == repr(whole.trace)
    certain = whole.certain_at[0]
    first = open_case(order, ticket, retraced(ticket, acts), until_certain=True)
    assert first.certain_at == (certain,)
    assert cut(first, certain).analysis.posterior.tolist() == cut(whole, certain).analysis.posterior.tolist()


def test_does_the_guide_show_the_means_of_the_table(repository: Path) -> None:
    solutions = repository / "solutions"
    guide = (solutions / "instructors-guide.md").read_text("utf-8")
    table = (solutions / TABLE).read_text("utf-8").splitlines()
    rows = [row.strip("| ").split(" | ") for row in table]
    standing = [row for row in rows if row[0] in LIMITS and len(row) == 9]
    assert [row[0] for row in standing] == list(LIMITS)
    for name, _, mean, limit, kept, *_ in standing:
        assert f"| {name} | {mean} | {limit} |" in guide
        assert kept == "yes"
