"""Do the marks of the cold side come out of the rig, and does the guide tell feed, ground and command apart?"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from parked_hvac.bench.lessons import cold_that_does_not_come as lesson
from parked_hvac.bench.lessons.heat_that_stays import GUIDE
from tests.bench.lessons.cards import causes, deserved
from tests.bench.lessons.guided import act, asked, differ, explained, meter, walked


def test_is_the_pressure_that_of_the_handbook_table(repository: Path) -> None:
    # ref_r134a_handbook.json; its tolerance of 0.2 °C is 0.06 bar at 10 bar.
    table = json.loads((repository / "tests/reference/authorities/ref_r134a_handbook.json").read_text())[
        "value"
    ]
    for bar, saturated in table.items():
        assert lesson.gauge_bar(saturated["T"]) == pytest.approx(float(bar) - 1.01325, abs=0.06)


@pytest.mark.parametrize("turn", range(4))
def test_is_the_pressure_asked_for_the_one_on_the_line(turn: int) -> None:
    first = asked(lesson.check_yourself())._items[0]
    condensing = float(re.findall(r"condenses at about (\d+) °C", str(first.text))[0])
    assert isinstance(first.right, float)
    assert first.right == pytest.approx(lesson.gauge_bar(condensing))


def test_are_there_enough_items_other_ones_each_time_and_all_explained() -> None:
    explained(lesson.check_yourself)
    assert differ(lesson.check_yourself)


def row(state: str, name: str) -> str:
    index = [words for words, _ in lesson._STATES].index(state)
    return dict(lesson.cold_side(index).rows)[name]


def amperes(state: str) -> float:
    return float(row(state, "clamp on W8").split()[0])


def test_do_the_items_say_what_the_rig_shows() -> None:
    assert 4.0 < amperes("refrigerant all lost") < 8.0  # friction alone
    assert amperes("condenser blocked with dirt") > 66.0
    assert amperes("refrigerant half lost") < amperes("healthy")
    assert row("condenser fan dead", "codes") == "520196/0"
    assert row("refrigerant all lost", "codes") == "none"
    liquid = float(row("condenser blocked with dirt", "liquid line · suction line").split()[0])
    assert liquid > 55.0


def test_does_a_dead_fan_drive_the_circuit_past_the_stop_and_lost_charge_below_the_line() -> None:
    assert float(lesson.settled(1.0, 0.0).condensing_C[0]) > 71.0
    gone = lesson.settled(0.02, 1.0)
    assert float(gone.suction_kPa[0]) == float(gone.discharge_kPa[0])
    assert float(gone.suction_kPa[0]) / 100.0 - 1.013 < lesson.gauge_bar(float(gone.evaporating_C[0]))


CHAPTERS = [
    [*(act("prepare", step=s) for s in ("chock_wheels", "eye_protection", "rings_off")),
     act("switch_key", position="on"), act("set_temperature", celsius=16.0), act("set_blower", step=5),
     act("switch_parked_cooling", on=True), act("wait", seconds=120.0), act("look", location="unit_outside")],
    [act("read_codes")],
    [act("switch_parked_cooling", on=False), act("open_cover", cover="unit_lid"),
     act("switch_parked_cooling", on=True), act("wait", seconds=60.0), meter("dc_volts", "M3.+", "X22")],
    [meter("dc_volts", "M3.-", "X22")],
    [meter("dc_volts", "M3.C", "X22")],
]  # fmt: skip


@pytest.mark.parametrize(
    ("learner", "feed", "lifted", "command"),
    [("A17", False, False, True), ("A18", True, False, False), ("A19", True, True, True)],
)
def test_does_the_guide_lead_to_three_readings_each_about_one_wire(
    tmp_path: Path, learner: str, feed: bool, lifted: bool, command: bool
) -> None:
    attempt = walked("heat-that-stays", GUIDE, CHAPTERS, tmp_path, learner)
    assert "condenser fan: stands" in attempt.readings[0].display
    assert attempt.readings[1].display.startswith("SPN 520196 FMI 0")
    volts = [reading.value or 0.0 for reading in attempt.readings[2:]]
    assert [volts[0] > 11.0, volts[1] > 0.1, volts[2] > 0.9] == [feed, lifted, command]


VERDICTS = {
    "nothing_wrong": "niiiiii",
    "refrigerant_lost": "noooiii",
    "condenser_blocked": "(noo|nnn)[in]iii",
    "m3_ground_lost": "nnnnioi",
    "m3_command_open": "nnnniio",
    "fuse_f12_blown": "nnnnoii",
}
"""What a person says by the spec sheet: in (i), out (o) or nothing (n), reading by reading; a part that differs
with the part that is hit, or with its severity, in alternatives."""


@pytest.mark.parametrize("cause", VERDICTS)
def test_does_the_card_deserve_the_verdicts_a_person_gives(cause: str) -> None:
    assert causes("without-gauges") == set(VERDICTS)
    for seed in (1, 2):
        assert re.fullmatch(VERDICTS[cause], deserved("without-gauges", cause, seed))


def test_do_the_clamps_of_the_items_stand_to_the_readers_own_truck_as_the_states_do() -> None:
    # Shares of the sound current in the lesson's own table of six states, less and more by a tenth.
    amperes = {
        state: float(dict(lesson.cold_side(state).rows)["clamp on W8"].removesuffix(" A")) for state in (0, 1, 2, 3)
    }
    listed = explained(lesson.check_yourself)
    for item, state in ((1, 2), (2, 3), (7, 1)):
        shown = float(re.findall(r"W8 (\d+\.\d) A", str(listed[item].text))[0])
        assert shown == pytest.approx(amperes[state], rel=0.12)
