"""Do the figures of the lesson on power add up, and does its guide tell a dead coil from a dead control wire?"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from parked_hvac.bench.lessons import power_on_its_way as lesson
from parked_hvac.bench.lessons.two_feeds import GUIDE
from parked_hvac.rig.catalogue import catalogue
from tests.bench.lessons.guided import act, asked, explained, meter, walked


def bars(words: str, case: str) -> dict[str, float]:
    """Volts by point, as a plot's own words tell them."""
    told = next(part for part in words.split(". ", 1)[1].split("; ") if part.startswith(f"{case}: "))
    return {point: float(volts) for point, volts in re.findall(r"([\w.+]+) (\d+\.\d+) V", told)}


def test_does_a_bad_holder_show_under_load_alone() -> None:
    sound, bad = (lesson.feed_plot(state).words for state in (False, True))
    # Without current every point has the bank's own voltage, whatever the joints.
    assert set(bars(sound, "No load").values()) == set(bars(bad, "No load").values()) == {12.6}
    loaded = bars(bad, "18 A")
    # Under load the holder takes the largest step of all, and far more than the 0.1 V of the spec sheet.
    steps = [a - b for a, b in zip(loaded.values(), list(loaded.values())[1:], strict=False)]
    assert max(steps) == pytest.approx(loaded["F2.1"] - loaded["F2.2"])
    assert "0.1 V or less" in catalogue().spec_sheet["drop_contact"].text
    assert max(steps) > 5 * 0.1


def test_does_the_lamp_lose_what_the_meter_keeps() -> None:
    words = lesson.lamp_and_meter().words
    behind = [float(volts) for volts in re.findall(r"behind the joint (\d+\.\d+) V", words)]
    # A divider: 220 Ω ahead of 10 MΩ, and of the lamp's 29 Ω.
    assert behind == [12.6, pytest.approx(12.6 * 29 / 249, abs=0.006)]


@pytest.mark.parametrize("turn", range(4))
def test_do_the_items_follow_kirchhoff_and_ohm(turn: int) -> None:
    listed = explained(lesson.check_yourself)
    bank, load = map(float, re.findall(r"(\d+\.\d+) V", str(listed[0].text)))
    assert listed[0].right == pytest.approx(bank - load, abs=0.006)
    volts, ampere = map(float, re.findall(r"read (\d+\.\d+) V while (\d+\.\d+) A", str(listed[1].text))[0])
    assert listed[1].right == pytest.approx(volts / ampere * 1e3)
    ground_V = float(re.findall(r"runs: (\d+\.\d+) V", str(listed[4].text))[0])
    limit = catalogue().spec_sheet["drop_ground"].high
    assert limit is not None
    assert ground_V > limit


def test_is_your_turn_the_copper_of_the_reader_s_own_cable() -> None:
    (item,) = asked(lesson.your_turn())._items
    length, area = map(float, re.findall(r"(\d+\.\d+) m long and has ([\d.]+) mm", str(item.text))[0])
    # 0.0172 Ω·mm²/m: copper at 20 °C, IEC 60028. The cable's own lugs are not in the sum.
    assert item.right == pytest.approx(18 * 0.0172 * length / area, abs=item.tolerance)


PARKED = [act("switch_key", position="on"), act("switch_parked_cooling", on=True)]
CHAPTERS = [
    [*(act("prepare", step=s) for s in ("chock_wheels", "eye_protection", "rings_off")),
     act("open_cover", cover="unit_lid"), *PARKED, act("set_blower", step=3), meter("dc_volts", "X20", "X22")],
    [act("prepare", step="exhaust_hose"), act("switch_key", position="engine"), act("wait", seconds=60.0),
     meter("dc_volts", "X20", "X22")],
    [*PARKED, meter("dc_volts", "K1.30", "X22")],
    [meter("dc_volts", "K1.86", "K1.85")],
]  # fmt: skip


@pytest.mark.parametrize(("learner", "offered"), [("A17", True), ("B1", False)])
def test_does_the_guide_tell_the_relay_from_what_switches_it(
    tmp_path: Path, learner: str, offered: bool
) -> None:
    attempt = walked("two-feeds", GUIDE, CHAPTERS, tmp_path, learner)
    parked, engine, before, coil = (reading.value or 0.0 for reading in attempt.readings)
    assert abs(parked) < 0.5
    assert engine > 12.0
    assert before > 12.0
    assert (coil > 11.0) is offered
