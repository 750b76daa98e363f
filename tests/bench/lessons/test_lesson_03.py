"""Do the figures of the charging lesson come out of rig and sheet, and does its guide lead to the open lead?"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from parked_hvac.bench.lessons import charging_and_isolator as lesson
from parked_hvac.bench.lessons.after_the_engine import GUIDE
from parked_hvac.bench.lessons.engine_start import (
    FUSE_S,
    QUIET_S,
    RUN_S,
    charging,
    engine_starts,
    sense_fuse_pulled,
    volts,
)
from parked_hvac.rig.catalogue import catalogue
from tests.bench.lessons.guided import act, differ, explained, meter, walked


def test_are_the_limits_those_of_the_spec_sheet() -> None:
    sheet = catalogue().spec_sheet
    assert sheet["bank_difference"].high == lesson.DIFFERENCE_V
    assert (sheet["charging_aux"].low, sheet["charging_aux"].high) == (lesson.LOW_V, lesson.HIGH_V)


def test_do_the_three_pictures_look_as_the_lesson_says() -> None:
    sound, apart, dead = (
        engine_starts(fault) for fault in ("nothing_wrong", "isolator_stuck_open", "alternator_no_output")
    )
    assert sound.start_V[-1] - sound.aux_V[-1] < lesson.DIFFERENCE_V
    assert apart.start_V[-1] > lesson.LOW_V
    assert max(apart.aux_V) - apart.aux_V[0] < 0.05
    assert max(dead.start_V) - dead.start_V[0] < 0.05
    closes = sound.closes_s()
    assert closes is not None
    # Not before the five seconds of the sheet, and within the picture.
    assert QUIET_S + 4.5 < closes < QUIET_S + RUN_S
    assert engine_starts("isolator_stuck_closed").closes_s() == 0.0


def test_does_the_gap_tell_whether_the_isolator_opens() -> None:
    sound, welded = sense_fuse_pulled(), sense_fuse_pulled("isolator_stuck_closed")
    last = max(i for i, at in enumerate(sound.seconds) if at < QUIET_S + FUSE_S)
    before = max(i for i, at in enumerate(sound.seconds) if at < QUIET_S)
    assert not sound.closed[last]
    assert sound.start_V[last] - sound.aux_V[last] > lesson.DIFFERENCE_V
    assert sound.aux_V[last] < sound.aux_V[before]
    assert welded.start_V[last] - welded.aux_V[last] < lesson.DIFFERENCE_V
    assert welded.aux_V[last] > welded.aux_V[before]


def test_do_the_parts_of_the_way_add_up() -> None:
    truck = charging()
    parts = [volts(truck, *pair) for pair in (("X1", "Q1.1"), ("Q1.1", "Q1.2"), ("Q1.2", "X3"))]
    assert sum(parts) == pytest.approx(volts(truck, "X1", "X3"), abs=1e-9)
    assert volts(truck, "X1", "X3") <= lesson.DIFFERENCE_V


def test_does_an_open_status_lead_change_the_lamp_alone() -> None:
    sound, open_lead = (
        dict(lesson.lead_table(fault, "x").rows) for fault in ("nothing_wrong", "isolator_status_lead_open")
    )
    assert (sound["lamp on the dash"], open_lead["lamp on the dash"]) == ("lit", "dark")
    assert sound["contacts, by ear"] == open_lead["contacts, by ear"] == "pulled in"


@pytest.mark.parametrize("turn", range(6))
def test_do_the_items_agree_with_the_sheet(turn: int) -> None:
    listed = explained(lesson.check_yourself)
    start, aux = map(float, re.findall(r"frame (\d+\.\d+) V", str(listed[0].text)))
    assert listed[0].right == pytest.approx(start - aux, abs=1e-9)
    assert listed[1].right == (0 if round(start - aux, 2) <= lesson.DIFFERENCE_V else 1)
    drop, current = re.findall(r"Q1.2: (\d+\.\d+) V while (\d+) A", str(listed[3].text))[0]
    assert listed[3].right == pytest.approx(float(drop) / float(current) * 1e3)
    both = float(re.findall(r"minutes: (\d+\.\d+) V", str(listed[4].text))[0])
    assert listed[4].right == (0 if lesson.LOW_V <= both <= lesson.HIGH_V else 1)
    ground = float(re.findall(r"running: (\d+\.\d+) V", str(listed[7].text))[0])
    high = catalogue().spec_sheet["isolator_ground"].high
    assert high is not None
    assert listed[7].right == (0 if ground <= high else 1)


def test_are_the_figures_other_ones_each_time() -> None:
    assert differ(lesson.check_yourself)


CHAPTERS = [
    [*(act("prepare", step=s) for s in ("chock_wheels", "eye_protection", "rings_off")),
     act("open_cover", cover="aux_bank_lid"), meter("dc_volts", "G2+", "G2-")],
    [act("prepare", step="exhaust_hose"), act("switch_key", position="engine"), act("wait", seconds=120.0),
     act("open_cover", cover="feed_panel_cover"), meter("dc_volts", "X1", "X0")],
    [meter("dc_volts", "X1", "X3")],
    [act("listen", location="feed_panel")],
    [meter("dc_volts", "Q1.S", "X0")],
    [meter("dc_volts", "F7.1", "F7.2")],
]  # fmt: skip


@pytest.mark.parametrize(("learner", "across_the_fuse_V"), [("A17", 14.0), ("self-study", 0.0)])
def test_does_the_guide_lead_to_the_fuse_or_the_lead(
    tmp_path: Path, learner: str, across_the_fuse_V: float
) -> None:
    attempt = walked("after-the-engine", GUIDE, CHAPTERS, tmp_path, learner)
    rest, start, apart, contacts, sense, fuse = attempt.readings
    assert rest.value is not None
    assert rest.value < 12.4
    assert start.value is not None
    assert lesson.LOW_V <= start.value <= lesson.HIGH_V
    assert apart.value is not None
    assert apart.value > lesson.DIFFERENCE_V
    assert contacts.display.endswith("at rest")
    assert sense.value == pytest.approx(0.0, abs=0.1)
    # Charging volts over an open fuse, none over a whole one: the regulator's tolerance is far below half a volt.
    assert fuse.value == pytest.approx(across_the_fuse_V, abs=0.5)


def test_is_a_sound_isolator_told_by_the_figures_of_the_plot_above() -> None:
    run = sense_fuse_pulled()
    told = str(explained(lesson.check_yourself)[8].explanation)
    assert f"from {run.aux_V[0]:.2f} to {min(run.aux_V):.2f} V" in told
    # The plot says as much: G2 sinks by a tenth and more in that minute, and G1 does not.
    assert run.aux_V[0] - min(run.aux_V) > 0.1
    pulled = [at for at, closed in enumerate(run.closed) if not closed]
    assert run.start_V[pulled[-1]] > run.start_V[0]
