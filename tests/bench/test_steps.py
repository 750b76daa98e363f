"""Is everything that hands can do offered at one place, in words the job understands?"""

from __future__ import annotations

import pytest

from parked_hvac.bench.steps import Step, listed_steps, point_location, steps_at
from parked_hvac.instruments.specification import tools
from parked_hvac.job.actions import actions, checked
from parked_hvac.job.attempt import Attempt
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.senses import POINTS


@pytest.fixture
def attempt(attempt: Attempt) -> Attempt:
    """With every cover off, so that nothing is out of reach."""
    for cover in catalogue().covers:
        attempt.do("open_cover", cover=cover)
    return attempt


def everywhere(attempt: Attempt) -> list[Step]:
    return [step for location in catalogue().locations for step in steps_at(attempt, location)]


def names(attempt: Attempt, verb: str, argument: str) -> set[str]:
    return {step.arguments[argument] for step in everywhere(attempt) if step.verb == verb}


def test_every_step_offered_is_one_the_job_understands(attempt: Attempt) -> None:
    for step in everywhere(attempt):
        checked(step.verb, step.arguments)


@pytest.mark.parametrize(
    ("verb", "argument"),
    [
        ("clamp", "cable"),
        ("pull_fuse", "fuse"),
        ("part_connector", "connector"),
        ("close_cover", "cover"),
        ("test_battery", "battery"),
        ("load_test", "battery"),
        ("thermometer", "point"),
        ("read_live", "value"),
        ("look", "location"),
        ("feel", "location"),
        ("listen", "location"),
        ("warm_sensor", "sensor"),
    ],
)
def test_all_that_a_verb_can_take_is_offered_somewhere(attempt: Attempt, verb: str, argument: str) -> None:
    wanted = next(one for one in actions()[verb].arguments if one.name == argument).names
    assert names(attempt, verb, argument) == set(wanted)


def test_each_point_and_live_value_is_offered_once(attempt: Attempt) -> None:
    points = [step.arguments["point"] for step in everywhere(attempt) if step.verb == "thermometer"]
    values = [step.arguments["value"] for step in everywhere(attempt) if step.verb == "read_live"]
    assert sorted(points) == sorted(POINTS)
    assert sorted(values) == sorted(tools().live)
    assert {point_location(point) for point in POINTS} <= set(catalogue().locations)


def test_a_pulled_fuse_can_be_fitted_and_a_parted_plug_seated(attempt: Attempt) -> None:
    attempt.do("pull_fuse", fuse="F6")
    attempt.do("part_connector", connector="X32")
    assert {"F6"} == names(attempt, "fit_fuse", "fuse")
    assert "F6" not in names(attempt, "pull_fuse", "fuse")
    assert {"X32"} == names(attempt, "seat_connector", "connector")


def test_what_lies_under_a_lid_is_offered_once_it_is_off(attempt: Attempt) -> None:
    attempt.do("close_cover", cover="aux_bank_lid")
    verbs = {step.verb for step in steps_at(attempt, "aux_bank")}
    assert verbs.isdisjoint({"look", "part_connector", "test_battery", "load_test"})
    assert "open_cover" in verbs


def test_a_lid_that_is_off_can_be_put_back(attempt: Attempt) -> None:
    words = {step.verb: step.words for step in steps_at(attempt, "aux_bank")}
    assert words["close_cover"] == "lid on (2 min)"
    assert "open_cover" not in words


def test_every_listed_step_says_what_it_does(attempt: Attempt) -> None:
    for location in catalogue().locations:
        for _, label, steps, go in listed_steps(attempt, location):
            words = [step.words for step in steps]
            assert label
            assert go
            assert all(words)
            assert len(set(words)) == len(words)
