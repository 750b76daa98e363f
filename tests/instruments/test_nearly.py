"""What an instrument would show with its last digit a step off."""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.instruments.outcome import MINUS, Outcome, categories, numbers


@pytest.mark.parametrize(
    ("value", "step", "unit", "lower", "higher"),
    [
        (12.34, 0.01, "V", "12.33 V", "12.35 V"),
        (39.0, 0.1, "A", "38.9 A", "39.1 A"),
        (0.0, 0.1, "A", f"{MINUS}0.1 A", "0.1 A"),
        (21.5, 0.5, "°C", "21.0 °C", "22.0 °C"),
        (0.0123, 0.0001, "V", "12.2 mV", "12.4 mV"),
    ],
)
def test_is_it_one_step_lower_and_higher(
    value: float, step: float, unit: str, lower: str, higher: str
) -> None:
    assert numbers([value], step, 0.0, unit).nearly() == (lower, higher)


def test_is_nothing_near_a_word() -> None:
    worded = Outcome(np.array([np.nan]), np.array(["OL"]), "V", np.array([0.1]), np.array([0.1]))
    assert worded.nearly() == ()
    assert categories(["cold"]).nearly() == ()
    assert categories(["cold"], text=lambda draw: "cold air").nearly() == ()
