"""Does who sees through a truck early lose nothing by confirming the complaint, and by two readings that confirm the cause?"""

from __future__ import annotations

from typing import Any, cast

import numpy as np
import pytest

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.retrace import Line
from parked_hvac.assessment.worth import AGAIN, PLAIN_FOR_ALL, Idle, idle_readings, late_readings
from parked_hvac.diagnosis.analysis import Learned
from parked_hvac.diagnosis.prediction import Observed
from tests.assessment.stubs import case_of

Taken = tuple[str, dict[str, Any], float]
"""A reading and how probable the likeliest cause is after it."""
BUNK: Taken = ("thermometer", {"point": "bunk air"}, 0.1)
TELLS: Taken = ("read_live", {"value": "evaporator_C"}, 0.95)
FEEL: Taken = ("feel", {"location": "bunk"}, 0.95)
CODES: Taken = ("read_codes", {}, 0.95)


def ohms(pin: str) -> Taken:
    return ("measure", {"function": "ohms", "red": pin, "black": "X0"}, 0.95)


def case(*taken: Taken, telling_bits: float = 1.0) -> Case:
    """An attempt whose readings could each add something, were the cause not certain."""
    lines = [
        Line(n, n, verb, given, {}, "parked", seen=Observed(1.0))
        for n, (verb, given, _) in enumerate(taken, 1)
    ]
    learned = [
        Learned(n, np.array([sure, 1.0 - sure]), 0.0, 0.0, lambda: 0.0, lambda: telling_bits, (), 1)
        for n, (_, _, sure) in enumerate(taken, 1)
    ]
    return case_of(lines, learned)


def test_do_the_codes_and_the_first_look_not_use_up_what_confirms_a_cause() -> None:
    assert late_readings(case(BUNK, TELLS, FEEL, CODES, ohms("B1.1"), ohms("B1.2"))) == []
    assert late_readings(case(BUNK, TELLS, FEEL, CODES, ohms("B1.1"), ohms("B1.2"), ohms("B2.1"))) == [7]


def test_is_a_second_look_work_like_any_other() -> None:
    looks: list[Taken] = [("look", {"location": place}, 0.95) for place in ("cab", "bunk", "feed_panel")]
    assert late_readings(case(TELLS, *looks)) == []
    assert late_readings(case(TELLS, *looks, ("listen", {"location": "cab"}, 0.95))) == [5]


def test_does_a_reading_that_makes_the_cause_certain_count_whichever_it_is() -> None:
    assert late_readings(case(CODES, ohms("B1.1"), ohms("B1.2"), ohms("B2.1"))) == [4]


@pytest.mark.parametrize(("step", "wanted"), [(5, {2: AGAIN}), (3, {})])
def test_is_a_hand_at_the_vent_at_another_step_of_the_blower_another_reading(
    step: int, wanted: dict[int, Idle]
) -> None:
    twice = case(FEEL, FEEL)
    for line, blower in zip(twice.trace.readings, (5, step), strict=True):
        cast(dict[str, Any], line.context)["blower_step"] = blower
    assert idle_readings(twice) == wanted


def test_is_the_first_temperature_of_the_bunk_never_in_vain() -> None:
    outside: Taken = ("thermometer", {"point": "outside air"}, 0.1)
    found = idle_readings(case(BUNK, outside, telling_bits=0.0))
    assert found == {2: PLAIN_FOR_ALL}
