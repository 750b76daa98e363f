"""Does a slider of a lesson move its picture?"""

from __future__ import annotations

from pathlib import Path

import pytest

from parked_hvac.bench.lessons import it_only_runs_two_hours, the_electric_compressor
from parked_hvac.bench.slider import Slider


def test_does_the_share_move_what_dc_volts_show(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    slide, picture = the_electric_compressor.turn_the_share().children
    assert isinstance(slide, Slider)
    assert "high for 50\N{NO-BREAK SPACE}% of the time" in picture.value
    slide.value = 20
    assert "high for 20\N{NO-BREAK SPACE}% of the time" in picture.value


def test_does_a_hotter_night_shorten_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    outside, _, _, capacity, picture = it_only_runs_two_hours.your_night().children
    before = picture.value
    outside.value = 38
    hotter = picture.value
    assert hotter != before
    capacity.value = 50
    assert picture.value != hotter


def test_is_a_slider_named() -> None:
    slide = Slider("set °C", 20, 16, 28)
    assert repr(slide) == "Slider 'set °C'"
    assert slide.fixed == {"words": "set °C", "least": 16, "most": 28, "step": 1}
