"""Do the figures of the lesson inside the unit come out of the rig, and does its guide lead in and out again?"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from parked_hvac.bench.lessons import inside_the_unit as lesson
from parked_hvac.bench.lessons.blower_plot import running
from parked_hvac.bench.lessons.reader import own_truck
from parked_hvac.bench.lessons.still_air import GUIDE
from tests.bench.lessons.guided import act, asked, differ, explained, meter, walked


def figures(text: str, unit: str) -> list[float]:
    return [float(x) for x in re.findall(rf"([\d.]+) {unit}\b", text)]


@pytest.mark.parametrize("turn", range(4))
def test_do_the_items_follow_ohm_s_law_and_the_labour_table(turn: int) -> None:
    listed = asked(lesson.check_yourself())._items
    off, on = figures(str(listed[0].text).replace(" on,", " min,"), "minutes off")[0], 10.0
    count = int(re.findall(r"take (\d) readings", str(listed[0].text))[0])
    assert listed[0].right == pytest.approx(off + on + count)
    milliohm = figures(str(listed[5].text), "mΩ")[0]
    assert listed[5].right == pytest.approx(12.6 / (milliohm / 1000))
    resistance, heat = asked(lesson.your_turn())._items
    volts, amperes = figures(str(resistance.text), "V")[0], figures(str(resistance.text), "A")[0]
    assert resistance.right == pytest.approx(volts / amperes * 1000)
    assert heat.right == pytest.approx(volts * amperes)


def test_are_volts_and_amperes_of_the_burnt_plug_those_of_one_truck() -> None:
    """The blower gets what the plug leaves: less current goes with more volts, and both lie between the rig's ends."""
    (least_V, most_A), (most_V, least_A) = lesson.browned(0.0), lesson.browned(1.0)
    for _ in range(4):
        resistance = asked(lesson.your_turn())._items[0]
        volts, amperes = figures(str(resistance.text), "V")[0], figures(str(resistance.text), "A")[0]
        share = (volts - least_V) / (most_V - least_V)
        # Nearly a straight line between the ends: the motor's own resistance is the same. A tenth of an ampere is the rounding.
        assert amperes == pytest.approx(most_A - share * (most_A - least_A), abs=0.25)
        plug_V = figures(str(asked(lesson.check_yourself())._items[2].text), "V")[0]
        assert least_V * 0.95 < plug_V < most_V * 1.05


def test_are_there_enough_items_all_explained_and_other_ones_each_time() -> None:
    explained(lesson.check_yourself)
    assert differ(lesson.check_yourself, 5)


def test_does_a_worn_blower_take_more_and_a_burnt_plug_less_at_every_step() -> None:
    sound, worn, burnt = (figures(part, "A") for part in lesson.blower_steps().words.split(";"))
    assert sound == sorted(sound)
    assert all(low < plain < high for low, plain, high in zip(burnt, sound, worn, strict=True))
    assert 7.0 < sound[-1] < 9.5 < worn[-1]  # spec sheet, blower_current


def test_does_a_rubbed_wire_ask_for_many_times_the_fuse() -> None:
    rows = dict(lesson.worked_example().rows)
    assert figures(rows["current = 12.6 V ÷ both together"], "A")[0] > 4 * figures(rows["fuse F11"], "A")[0]


def test_does_a_reading_inside_cost_most() -> None:
    minutes = figures(lesson.access_plot().words, "min")
    assert minutes[-1] == max(minutes) == 23.0


def test_does_the_pan_fill_within_a_night_and_not_at_once() -> None:
    assert 45.0 < figures(lesson.the_pan().rows[-1][1], "min")[0] < 240.0


ON = [act("switch_key", position="on"), act("switch_parked_cooling", on=True)]
OFF = [act("switch_parked_cooling", on=False), act("switch_key", position="off")]
CHAPTERS = [
    [act("prepare", step="chock_wheels"), act("prove_meter"), act("set_blower", step=4), *ON,
     act("wait", seconds=20.0), act("feel", location="bunk")],
    [act("read_live", value="cooling_asked")],
    [*OFF, act("open_cover", cover="unit_lid"), act("look", location="unit_opened")],
    [*ON, act("wait", seconds=10.0), meter("dc_volts", "F11.1", "X22")],
    [meter("dc_volts", "F11.2", "X22")],
    [*OFF, act("pull_fuse", fuse="F11"), meter("ohms", "F11.2", "X22")],
]  # fmt: skip


@pytest.mark.parametrize(("learner", "cause"), [("A17", "harness_chafed"), ("C1", "fuse_f11_blown")])
def test_does_the_guide_lead_to_the_reason_of_the_fuse_and_back_to_air(
    tmp_path: Path, learner: str, cause: str
) -> None:
    last = [act("conclude", cause=cause), act("repair", fault=cause), act("fit_fuse", fuse="F11"),
            act("close_cover", cover="unit_lid"), *ON, act("wait", seconds=20.0), act("feel", location="bunk")]  # fmt: skip
    attempt = walked("still-air", GUIDE, [*CHAPTERS, last], tmp_path, learner)
    shown = [reading for reading in attempt.readings if reading.action != "prove_meter"]
    assert "air from the vent: none" in shown[0].display
    assert (shown[1].value or 0.0) == 1.0
    assert ("chafed" in shown[2].display) is (cause == "harness_chafed")
    assert (shown[3].value or 0.0) > 11.0
    assert abs(shown[4].value or 0.0) < 0.1
    assert (shown[5].display == "OL") is (cause == "fuse_f11_blown")
    assert "air from the vent: strong" in shown[6].display


def test_are_the_currents_of_the_items_those_of_the_readers_own_blower() -> None:
    yours = float(running(own_truck(), 5).current_A("F11")[0])
    for item, low, high in ((6, 1.15, 1.45), (7, 0.95, 1.05)):
        asked_for = explained(lesson.check_yourself)[item]
        amperes = float(re.findall(r"Step 5: (\d+\.\d) A", str(asked_for.text))[0])
        assert low < amperes / yours < high
        assert f"your own sound blower takes {yours:.1f} A" in str(asked_for.explanation).replace("Your", "your")
