"""Does the small plot hold what moved, and no more than it can show?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.bench.trace import MOST_POINTS, Trace, spoken_time


class Falling:
    """A truck whose voltage falls by a millivolt a second."""

    def __init__(self) -> None:
        self.time_s = 100.0

    def voltage_V(self, red: str, black: str) -> np.ndarray:  # type: ignore[type-arg]
        return np.array([12.6 - 1e-3 * (self.time_s - 100.0)])

    def temperature_C(self, point: str) -> np.ndarray:  # type: ignore[type-arg]
        return np.array([-4.0])


def sampled(count: int, leads: tuple[str, str] | None = ("G2+", "X0")) -> Trace:
    trace, truck = Trace(leads), Falling()
    for _ in range(count):
        trace.sample(truck)  # type: ignore[arg-type]
        truck.time_s += 1.0
    return trace


def test_first_and_last_are_told_and_drawn() -> None:
    shown = sampled(61).for_screen()
    assert shown is not None
    voltage = shown["series"][0]
    assert (voltage["first"], voltage["last"]) == ("12.60 V", "12.54 V")
    assert voltage["points"][0] == [0.0, 12.6]
    assert voltage["points"][-1] == [60.0, 12.54]
    assert (
        voltage["spoken"]
        == "between the leads: from 12.60 V to 12.54 V over 60 s, lowest 12.54, highest 12.60"
    )


def test_a_long_wait_is_thinned_but_keeps_its_ends() -> None:
    shown = sampled(5000).for_screen()
    assert shown is not None
    for series in shown["series"]:
        assert len(series["points"]) <= MOST_POINTS * 2
        assert series["points"][-1][0] == 4999.0


def test_without_leads_only_the_bunk_is_drawn_with_a_true_minus_sign() -> None:
    shown = sampled(5, leads=None).for_screen()
    assert shown is not None
    assert [series["first"] for series in shown["series"]] == ["\N{MINUS SIGN}4.0 °C"]


@pytest.mark.parametrize("count", [0, 1])
def test_a_moment_is_no_plot(count: int) -> None:
    assert sampled(count).for_screen() is None


@pytest.mark.parametrize(
    ("seconds", "words"), [(10, "10 s"), (60, "60 s"), (900, "15 min"), (3600, "60 min"), (7200, "2 h")]
)
def test_time_is_told_as_people_tell_it(seconds: float, words: str) -> None:
    assert spoken_time(seconds) == words
