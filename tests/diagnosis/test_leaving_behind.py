"""Causes past counting are left behind: those that go on are weighed as before, and the others keep their stand."""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.diagnosis import solution as solutions
from parked_hvac.diagnosis.analysis import Weighing
from parked_hvac.diagnosis.candidates import NOTHING, together
from parked_hvac.diagnosis.cast import Cast
from parked_hvac.diagnosis.posterior import STRAY
from parked_hvac.diagnosis.prediction import Observed, Prediction
from parked_hvac.diagnosis.solution import solution, usual_way
from parked_hvac.job.order import order_named
from parked_hvac.rig.parameters import draw

CAST = Cast(
    tuple(together((name,)) for name in (NOTHING, "k1_contact_burnt", "s1_open", "aux_battery_weak")), 12
)


def told(generator: np.random.Generator) -> Prediction:
    """The second and third cause show what no truck of the others does."""
    values = generator.normal(size=(4, 12)) * 0.2 + np.array([[0.0], [8.0], [9.0], [0.4]])
    return Prediction(values, np.zeros(values.shape, dtype=np.int16), np.full(values.shape, 0.01))


def test_are_causes_that_go_on_weighed_as_if_all_went_on() -> None:
    generator = np.random.default_rng(2)
    all_along, some = Weighing(CAST), Weighing(CAST)
    left = [0, 1, 2, 3]
    for n, seen in enumerate([0.1, 0.3, 0.2, 0.25, 0.15]):
        if n in (2, 4):
            left = [0, 2, 3] if n == 2 else [0, 3]
            assert not all_along.evidence.resembling[[one for one in range(4) if one not in left]].any()
            some.only(left)
        foretold = told(generator)
        all_along.weigh(n, foretold, Observed(seen))
        weighed = some.weigh(n, foretold.of(np.array(left)), Observed(seen))
        assert weighed.of(3).values == pytest.approx(foretold.of(np.array([3])).values)
    drawn, alone = all_along.evidence.log_drawn, some.evidence.log_drawn
    assert alone[3] - alone[0] == pytest.approx(drawn[3] - drawn[0], abs=1e-9)
    # The strays of a cause left behind are as probable as the rest: the thousandths that its draws would bring are missing.
    assert some.evidence.posterior == pytest.approx(all_along.evidence.posterior, abs=1e-3)


def test_does_a_cause_left_behind_keep_its_stand_beside_an_unlike_truck() -> None:
    generator = np.random.default_rng(2)
    weighing = Weighing(CAST)
    for n in range(2):
        weighing.weigh(n, told(generator), Observed(0.1))
    before = weighing.evidence
    assert before.resembling.tolist() == [True, False, False, True]
    weighing.only([0, 3])
    after = weighing.weigh(2, told(generator).of(np.array([0, 3])), Observed(0.1)).after
    assert (after.log_drawn - after.log_stray)[1:3] == pytest.approx(
        (before.log_drawn - before.log_stray)[1:3]
    )
    assert after.log_likelihood[1] == pytest.approx(np.log(STRAY) + after.log_stray, abs=1e-3)


def test_does_a_truck_that_needs_more_than_the_usual_way_end_as_with_all_causes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A truck with nothing wrong that takes some checks beyond the usual way."""
    order, truck = order_named("night-call"), draw(1, np.random.default_rng(6))
    found = solution(order, NOTHING, truck)
    beyond = len(usual_way(order, NOTHING))
    assert beyond < len(found.legs) <= beyond + solutions.MOST_BEYOND
    monkeypatch.setattr(solutions, "MOST_BEYOND", 1)
    monkeypatch.setattr(solutions, "MOST_IN_DOUBT", 5)
    given_up = solution(order, NOTHING, truck)
    # Two searches that end uncertain: the first is told, as far as it went.
    assert given_up.certainty < solutions.CERTAIN
    assert len(given_up.legs) <= beyond + 1
    monkeypatch.undo()
    monkeypatch.setattr(solutions._Taking, "_leave_the_faint", lambda taking: None)
    other = solution(order, NOTHING, truck)
    assert [leg.check.key for leg in other.legs] == [leg.check.key for leg in found.legs]
    # What is left out is a thousandth of each cause's probability; of some sixty causes that makes at most a few hundredths.
    assert other.certainty == pytest.approx(found.certainty, abs=0.02)
    assert any(one.among is not None for one in found.analysis.weighed)
    assert all(one.among is None for one in other.analysis.weighed)
