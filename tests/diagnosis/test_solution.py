"""Two causes at once and none at all, judged by the same engine; and what trucks with one cause share."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace

import numpy as np
import pytest

from parked_hvac.diagnosis import path
from parked_hvac.diagnosis import solution as solutions
from parked_hvac.diagnosis.candidates import together
from parked_hvac.diagnosis.checks import Check, checks
from parked_hvac.diagnosis.path import Search
from parked_hvac.diagnosis.posterior import Evidence
from parked_hvac.diagnosis.solution import CERTAIN, GOAL, Solution, needed, solution, usual_way
from parked_hvac.job.order import order_named
from parked_hvac.rig.faults import apply_fault, draw_parameters
from parked_hvac.rig.parameters import nominal

ORDER = order_named("over-before-morning")
BOTH = ("aux_battery_weak", "holder_f1_corroded")


def solved(group: tuple[str, ...], seed: int) -> Solution:
    truck = draw_parameters(group, 1, np.random.default_rng(seed))
    return solution(ORDER, together(group).name if len(group) > 1 else group[0], truck)


def test_do_two_causes_at_once_become_certain_on_a_sound_path() -> None:
    found = solved(BOTH, 7)
    assert found.certainty >= CERTAIN
    assert found.analysis.ranked(1)[0][0] == together(BOTH).name
    # One of the two alone must not do: the other is then still there to be found.
    assert all(found.analysis.probability(name) < 0.1 for name in BOTH)


def test_does_nothing_wrong_become_certain_on_a_sound_path() -> None:
    found = solved(("nothing_wrong",), 7)
    assert found.certainty >= CERTAIN
    assert found.analysis.ranked(1)[0][0] == "nothing_wrong"


@pytest.mark.parametrize(
    ("sure", "legs"),
    [
        ([0.1, 0.5, 0.96], 3),
        ([0.1, 0.96, 0.2, 0.97], 2),  # surer is not needed
        ([0.1, 0.91, 0.93, 0.6], 2),  # never at the goal, but certain
        (
            [0.1, 0.55, 0.57, 0.3],
            4,
        ),  # never certain: nobody's minutes are held against a path that led nowhere
    ],
)
def test_does_a_path_end_where_the_cause_is_certain(sure: list[float], legs: int) -> None:
    assert needed(sure) == legs


def test_does_nobody_go_beyond_the_usual_way_who_is_certain_at_its_end() -> None:
    """These trucks end it above nine tenths and below the goal."""
    usual = len(usual_way(ORDER, "aux_battery_weak"))
    ends = [solved(("aux_battery_weak",), seed) for seed in (1, 2, 7)]
    assert [len(found.legs) for found in ends] == [usual] * 3
    assert all(CERTAIN <= found.certainty < GOAL for found in ends)


def test_is_a_cause_that_looks_like_another_found_by_doubting() -> None:
    """A lug so little corroded that the unit runs on: all its likenesses had cut out by then, and the first search gives up."""
    cause = "lug_corroded_g2_negative"
    truck = draw_parameters((cause,), 1, np.random.default_rng(1))
    assert solution(order_named("out-by-midnight"), cause, truck).certainty >= CERTAIN


@pytest.mark.parametrize(
    ("cause", "hopeful", "doubted"),
    [("nothing_wrong", 1.1, False), ("nothing_wrong", 0.5, True), ("aux_battery_weak", 1.1, True)],
)
def test_is_nothing_wrong_doubted_only_where_it_is_near(
    cause: str, hopeful: float, doubted: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No check by itself says it, so that a second search far from it would only take long."""
    asked: list[int] = []

    def doubt(_search: Search, alike: Sequence[int], _known: Evidence) -> bool:
        asked.append(alike[0])
        return False

    monkeypatch.setattr(Search, "one_more_in_doubt", doubt)
    monkeypatch.setattr(solutions, "CERTAIN", 1.1)  # nothing is
    monkeypatch.setattr(solutions, "HOPEFUL", hopeful)
    solved((cause,), 7)
    assert bool(asked) == doubted


@pytest.mark.parametrize(
    ("order", "cause", "told_by"),
    [
        ("cool-enough", "b2_shifted", "apart: measure ohms B2.1 B2.2 warmed"),
        ("cool-enough", "b2_connector_corroded", "apart: measure ohms B2.1 B2.2 warmed"),
    ],
)
def test_is_a_warm_bead_told_from_a_resistance_in_series(order: str, cause: str, told_by: str) -> None:
    found = solution(order_named(order), cause, draw_parameters((cause,), 1, np.random.default_rng(7)))
    assert found.certainty >= CERTAIN
    assert told_by in [leg.check.key for leg in found.legs]


def test_is_the_way_to_a_cause_looked_for_once_for_trucks_that_answer_alike(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def made(gain_error: float) -> Solution:
        truck = nominal()
        apply_fault(truck, "k1_coil_open", np.array([0.5]), np.array([0.5]))
        truck.set("meter.gain_error", np.array([gain_error]))
        return solution(ORDER, "k1_coil_open", truck)

    first = made(0.001)
    monkeypatch.setattr(path, "next_checks", lambda *_, **__: pytest.fail("looked for anew"))
    other = made(-0.001)
    assert other.certainty >= CERTAIN
    # As far as it is needed; what it shows is each truck's own.
    assert other.actions == first.actions[: len(other.actions)]
    assert other.displays != first.displays[: len(other.displays)]


def test_is_the_usual_way_to_nothing_wrong_tried_on_sound_trucks(monkeypatch: pytest.MonkeyPatch) -> None:
    """What makes one certain that was not is added at its end; a path that began otherwise, or stayed in doubt, is not."""
    first, second, third, other = checks()[:4]
    found = iter(
        [
            ((first,), 0.95),  # the truck without tolerances
            ((first, second), 0.92),
            ((first, second, third), 0.5),
            ((first,), 0.95),
            ((first, second, other), 0.9),
            ((first, second, other, third), 0.89),
            ((other, second, third, first), 0.95),
        ]
    )

    def path_found(order: object, cause: str, truck: object, usual: Sequence[Check] = ()) -> SimpleNamespace:
        way, certainty = next(found)
        return SimpleNamespace(legs=[SimpleNamespace(check=check) for check in way], certainty=certainty)

    monkeypatch.setattr(solutions, "_found", path_found)
    assert solutions._looked_for(ORDER, "nothing_wrong") == (first, second, other)
    assert next(found, None) is None
