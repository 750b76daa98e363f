"""Do the figures of the compressor lesson come out of the rig, and does its guide lead to an end?"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from parked_hvac.bench.lessons import the_electric_compressor as lesson
from parked_hvac.bench.lessons.hums_and_stops import GUIDE
from parked_hvac.instruments import meter as instrument
from parked_hvac.physics.waveform import PulseTrain
from parked_hvac.rig.faults import draw_parameters
from parked_hvac.rig.truck import Truck
from tests.bench.lessons.cards import causes, deserved
from tests.bench.lessons.guided import act, asked, differ, explained, meter, walked

PAIRS = (("U", "V"), ("V", "W"), ("U", "W"))


@pytest.mark.parametrize("turn", range(5))
def test_is_the_mean_asked_for_that_of_the_wave(turn: int) -> None:
    first = asked(lesson.check_yourself())._items[0]
    supply, percent = map(float, re.findall(r"and (\d+\.\d) V and is high for (\d+)\s%", str(first.text))[0])
    assert isinstance(first.right, float)
    assert first.right == pytest.approx(float(PulseTrain(0.0, supply, percent / 100, 7200.0).mean_V))


def test_are_the_figures_other_ones_each_time() -> None:
    assert differ(lesson.check_yourself)


def test_are_there_enough_items_and_all_explained() -> None:
    explained(lesson.check_yourself)


@pytest.mark.parametrize("phase", "UVW")
def test_is_the_open_winding_the_one_both_dead_pairs_share(phase: str) -> None:
    truck = Truck(draw_parameters(["m1_winding_open"], 1, np.random.default_rng(1), pick=phase.lower()))
    truck.pull_fuse("F1")
    truck.discharge_capacitors()
    truck.part("X30")
    shown = {pair: instrument.read(truck, "ohms", f"M1.{pair[0]}", f"M1.{pair[1]}").shown() for pair in PAIRS}
    assert {pair for pair, display in shown.items() if display == "OL"} == {p for p in PAIRS if phase in p}


def test_does_a_dead_leg_hide_on_dc_until_the_plug_is_parted() -> None:
    hidden, shown = (lesson.three_terminals(state).rows for state in (1, 2))
    phase = lesson.dead_leg(lesson.asked_to_cool("t1_leg_dead"))
    row = "UVW".index(phase)
    sound = hidden[(row + 1) % 3][1].split(",")[0]
    assert hidden[row][1].split(",")[0] == sound
    assert shown[row][1] == "DC volts 0.0 mV, AC volts 0.0 mV, hertz 0.0 Hz"


def test_does_the_charge_outlast_an_hour_without_the_tool() -> None:
    words = lesson.charge_that_stays().words
    left, tool = (float(x) for x in re.findall(r"to (-?[\d.]+) V", words))
    assert left > 2.0
    assert tool < 0.1


def test_are_charge_and_insulation_of_the_items_those_of_the_readers_own_truck() -> None:
    listed = explained(lesson.check_yourself)
    minutes, volts = map(float, re.findall(r"pulled (\d+) minutes ago.*: ([\d.]+) V\.", str(listed[5].text))[0])
    truck = Truck(lesson.own_truck())
    truck.pull_fuse("F1")
    truck.advance(60.0 * minutes)
    # The item shows tenths.
    assert volts == pytest.approx(float(truck.voltage_V("T1.+", "T1.-")[0]), abs=0.051)
    kohm = float(re.findall(r"still seated: ([\d.]+) kΩ", str(listed[7].text))[0])
    shown = float(re.findall(r"U to case ([\d.]+) kΩ", lesson.ohms_tell().rows[3][1])[0])
    # A tenth less or more, so that no two runs ask the same, and the rounding to tenths.
    assert kohm == pytest.approx(shown, rel=0.102)


ASK = [
    act("switch_key", position="on"),
    act("set_temperature", celsius=16.0),
    act("set_blower", step=5),
    act("switch_parked_cooling", on=True),
]
CHAPTERS = [
    [*(act("prepare", step=s) for s in ("chock_wheels", "eye_protection", "rings_off")), *ASK,
     act("wait", seconds=60.0), act("listen", location="unit_outside")],
    [act("read_codes")],
    [act("switch_parked_cooling", on=False), act("switch_key", position="off"),
     act("open_cover", cover="feed_panel_cover"), act("pull_fuse", fuse="F1"),
     act("prepare", step="insulated_gloves"), act("open_cover", cover="unit_lid"),
     act("discharge_capacitors"), meter("dc_volts", "T1.+", "T1.-")],
    [act("part_connector", connector="X30"), meter("ohms", "M1.U", "M1.V")],
    [meter("ohms", "M1.V", "M1.W")],
    [meter("ohms", "M1.U", "M1.W")],
    [act("fit_fuse", fuse="F1"), act("switch_key", position="on"), act("switch_parked_cooling", on=True),
     act("wait", seconds=60.0), meter("ac_volts", "T1.U", "T1.-")],
    [meter("ac_volts", "T1.V", "T1.-")],
    [meter("ac_volts", "T1.W", "T1.-")],
]  # fmt: skip


@pytest.mark.parametrize(("learner", "windings_open", "legs_dead"), [("A17", 2, 0), ("self-study", 0, 1)])
def test_does_the_guide_lead_to_readings_that_tell_drive_from_motor(
    tmp_path: Path, learner: str, windings_open: int, legs_dead: int
) -> None:
    attempt = walked("hums-and-stops", GUIDE, CHAPTERS, tmp_path, learner)
    displays = [reading.display for reading in attempt.readings]
    assert displays[0] == "compressor sound: hums and jerks"
    assert sum(display == "OL" for display in displays[3:6]) == windings_open
    assert sum(display == "0.0 mV" for display in displays[6:]) == legs_dead
    dead = attempt.readings[2].value
    assert dead is not None
    assert dead < 2.0


VERDICTS = {
    "nothing_wrong": "iiiiiiiiiiii",
    "t1_leg_dead": "iiniiiii(oiio|ioii|iioi)",
    "t1_no_output": "iiniiiiioooo",
    "m1_winding_open": "iini(ooi|oio|ioo)iiiii",
    "m1_shorted_to_case": "iiniiiioiiii",
}
"""What a person says by the spec sheet: in (i), out (o) or nothing (n), reading by reading; a part that differs
with the part that is hit, or with its severity, in alternatives."""


@pytest.mark.parametrize("cause", VERDICTS)
def test_does_the_card_deserve_the_verdicts_a_person_gives(cause: str) -> None:
    assert causes("three-terminals") == set(VERDICTS)
    for seed in (1, 2):
        assert re.fullmatch(VERDICTS[cause], deserved("three-terminals", cause, seed))
