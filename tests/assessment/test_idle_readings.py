"""Is each reading that could add nothing named with its own reason, and no other one?"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.retrace import Line
from parked_hvac.assessment.worth import (
    AGAIN,
    FORESEEN,
    LEADS_TOGETHER,
    SAME_FOR_ALL,
    Idle,
    idle_readings,
    weight,
)
from parked_hvac.diagnosis.analysis import Learned
from tests.assessment.stubs import case_of

FEED = {"function": "dc_volts", "red": "X20", "black": "X22"}
DEAD = {"function": "dc_volts", "red": "T1.+", "black": "T1.-"}


def taught(n: int, gained: float, expected: float, telling: float) -> Learned:
    return Learned(n, np.array([0.5, 0.5]), 1.0, gained, lambda: expected, lambda: telling, (), 2)


def case(*taken: tuple[dict[str, Any], str, tuple[float, float, float]]) -> Case:
    """Meter readings in a state of the truck, each with the bits it gained, promised, and could tell a beginner."""
    lines = [Line(n, n, "measure", given, {}, mode) for n, (given, mode, _) in enumerate(taken, 1)]
    learned = [taught(n, *bits) for n, (_, _, bits) in enumerate(taken, 1)]
    return case_of(lines, learned)


def idle(*taken: tuple[dict[str, Any], str, tuple[float, float, float]]) -> list[Idle | None]:
    found = idle_readings(case(*taken))
    return [found.get(n) for n in range(1, len(taken) + 1)]


MUCH, NOTHING = (1.0, 1.0, 1.0), (0.0, 0.0, 0.0)
KNOWN = (0.0, 0.0, 1.0)
"""It could have told a beginner something, and adds nothing to what was read."""
CREEPS = (0.4, 0.0, 1.0)
"""Not expected to add anything, and did."""


@pytest.mark.parametrize(
    ("given", "mode", "bits", "reason"),
    [
        (FEED, "parked", MUCH, None),
        (FEED, "parked", NOTHING, SAME_FOR_ALL),
        (FEED, "parked", KNOWN, FORESEEN),
        (FEED | {"black": "X20"}, "parked", MUCH, LEADS_TOGETHER),
        # It keeps a hand safe, whatever it tells of the cause.
        (DEAD, "off", NOTHING, None),
        (DEAD, "parked", NOTHING, SAME_FOR_ALL),
    ],
)
def test_is_a_reading_idle_for_its_own_reason(
    given: dict[str, Any], mode: str, bits: tuple[float, float, float], reason: Idle | None
) -> None:
    assert idle((given, mode, bits)) == [reason]


def test_is_a_reading_taken_again_idle_unless_it_had_moved() -> None:
    first = (FEED, "parked", MUCH)
    assert idle(first, (FEED, "parked", KNOWN)) == [None, AGAIN]
    assert idle(first, (FEED, "parked", CREEPS)) == [None, None]
    assert idle(first, (FEED, "engine", MUCH)) == [None, None]


def test_does_a_verdict_weigh_what_its_reading_taught() -> None:
    made = case((FEED, "parked", NOTHING), (FEED, "parked", MUCH), (FEED, "parked", (9.0, 9.0, 9.0)))
    assert [weight(made, one) for one in made.trace.readings] == [0.0, 1.5, 2.5]
