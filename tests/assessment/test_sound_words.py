"""Does a learner read what sound trucks show in the unit and with the digits of the own display?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.assessment.sound_words import sound_words
from parked_hvac.diagnosis.prediction import foretelling


@pytest.mark.parametrize(
    ("values", "display", "wanted"),
    [
        ((12.35, 12.612), "12.84 V", "12.35 to 12.61 V"),
        # The display is in millivolts and the sound trucks are not, and the other way round.
        ((12.35, 12.61), "0.4 mV", "12.35 to 12.61 V"),
        ((0.0169, 0.0837), "12.84 V", "16.9 to 83.7 mV"),
        ((-0.00004, 0.0003), "411.1 mV", "0.0 to 0.3 mV"),
        ((0.0, 0.0), "12.84 V", "0.00 V"),
        ((9870.0, 10210.0), "OL", "9870 to 10210"),
        ((9870.0, 10210.0), "2.310 kΩ", "9.870 to 10.210 kΩ"),
        ((-3.2, -2.9), "\N{MINUS SIGN}0.4 °C", "\N{MINUS SIGN}3.2 to \N{MINUS SIGN}2.9 °C"),
        ((582.2, 640.0), "570 S, 12.80 V", "582 to 640 S"),
        ((0.0, 0.0), "2400 rpm", "0 rpm"),
        ((100.0, 100.0), "70 %", "100 %"),
    ],
)
def test_is_a_range_of_sound_trucks_in_the_unit_of_the_display(
    values: tuple[float, float], display: str, wanted: str
) -> None:
    row = np.linspace(*values, 16)[None, :]
    sound = foretelling(row, np.full(row.shape, ""), np.full(row.shape, 0.01))
    assert sound_words(sound, display) == wanted


def test_are_rare_words_left_out() -> None:
    words = np.array([["strong"] * 12 + ["weak"] * 3 + ["none"]])
    sound = foretelling(np.full(words.shape, np.nan), words, np.zeros(words.shape))
    assert sound_words(sound, "none") == "'strong' or 'weak'"
