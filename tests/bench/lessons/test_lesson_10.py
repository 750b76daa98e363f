"""Does the budget on paper agree with the rig's own night, and does the guide tell a worn bank from a wish?"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from parked_hvac.bench.lessons import energy, reserve
from parked_hvac.bench.lessons import it_only_runs_two_hours as lesson
from parked_hvac.bench.lessons.asked import switched_on
from parked_hvac.bench.lessons.promised_eight import GUIDE
from parked_hvac.bench.lessons.reader import own_truck
from tests.bench.lessons.cards import causes, deserved
from tests.bench.lessons.guided import act, asked, differ, explained, meter, walked


@pytest.mark.slow
def test_do_the_nights_pass_when_asked_and_end_as_the_lesson_says() -> None:
    box = lesson.two_nights()
    (button,) = box.children
    button.click()
    (picture,) = box.children
    told = re.search(r"16 °C: stopped after ([\d.]+) h.*22 °C: still running after 8 h", picture.value)
    assert told
    # The guide of the job calls it about three hours; the spec sheet's night is eight.
    assert 2.0 < float(told[1]) < 3.6


@pytest.mark.slow
def test_does_the_rig_stop_when_the_budget_says() -> None:
    night = lesson.AS_HE_LIKES
    truck = switched_on(conditions=night.conditions(), set_C=night.set_C)
    truck.turn_blower(night.blower_step)
    while not any(spn == 168 for spn, _, _ in (truck.codes() or [[]])[0]) and truck.time_s < 6 * 3600.0:
        truck.advance(300.0)
    # The budget leaves out the first hour's warm bed and the water in the air: a quarter either way.
    assert truck.time_s / 3600.0 == pytest.approx(lesson.lasts(night), rel=0.25)


def test_does_the_rig_draw_what_the_budget_says() -> None:
    night = energy.Night(outside_C=36.0, set_C=16.0, curtains="open", blower_step=5)
    truck = switched_on(conditions=night.conditions(), set_C=night.set_C)
    truck.advance(900.0)
    # Full speed, quarter of an hour in: the bunk is still cooling, which moves the current by a few amperes.
    assert float(truck.current_A("W14")[0]) == pytest.approx(energy.budget(night).total_A, rel=0.1)


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        (energy.Night(), energy.Night(outside_C=36.0)),
        (energy.Night(), energy.Night(set_C=17.0)),
        (energy.Night(), energy.Night(curtains="open")),
        (energy.Night(), energy.Night(occupants=3)),
        (energy.Night(), energy.Night(charge=0.6)),
    ],
)
def test_does_each_burden_shorten_the_night(better: energy.Night, worse: energy.Night) -> None:
    assert lesson.lasts(worse) < lesson.lasts(better)
    assert lesson.lasts(better, capacity=0.6) < 0.7 * lesson.lasts(better)


def test_does_the_heat_that_comes_in_go_out_again() -> None:
    made = energy.budget(energy.Night(outside_C=30.0, set_C=22.0))
    assert made.bunk_C == 22.0
    assert made.total_W == pytest.approx(sum(made.heat_W.values()))
    overloaded = energy.budget(lesson.AS_HE_LIKES)
    assert overloaded.bunk_C > lesson.AS_HE_LIKES.set_C + 2.0


def test_does_half_the_current_last_more_than_twice_as_long() -> None:
    short, long = energy.hours(own_truck(), [60.0, 30.0], 0.92)
    assert long > 2.0 * short


def test_does_a_battery_that_its_neighbours_charge_not_swing_in_long_steps(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    truck = own_truck()
    truck.set("G2.2.shorted_cells", truck["G2.2.shorted_cells"] + 1.0)
    usual = energy.hours(truck, [30.0, 20.0], 0.9)
    monkeypatch.setattr(reserve, "_STEP_S", 5.0)
    # The knee of the bank's voltage falls within a step or three of ten minutes.
    assert usual == pytest.approx(energy.hours(truck, [30.0, 20.0], 0.9), abs=0.7)



@pytest.mark.parametrize("turn", range(4))
def test_is_the_first_answer_charge_over_current(turn: int) -> None:
    first = asked(lesson.check_yourself())._items[0]
    ampere, charge = map(float, re.findall(r"shows (\d+) A.*gives (\d+) Ah", str(first.text))[0])
    assert first.right == pytest.approx(charge / ampere)


def test_are_there_enough_items_other_ones_each_time_and_all_explained() -> None:
    explained(lesson.check_yourself)
    assert differ(lesson.check_yourself)


CHAPTERS = [
    [*(act("prepare", step=s) for s in ("chock_wheels", "eye_protection", "rings_off")),
     act("open_cover", cover="aux_bank_lid"), meter("dc_volts", "G2+", "G2-")],
    [act("test_battery", battery="G2.1")],
    [act("switch_key", position="on"), act("set_temperature", celsius=16.0), act("set_blower", step=5),
     act("switch_parked_cooling", on=True), act("wait", seconds=300.0), act("clamp", cable="W14")],
    [meter("dc_volts", "G2+", "G2-")],
    [act("switch_parked_cooling", on=False), act("switch_key", position="off"), act("load_test", battery="G2.1")],
]  # fmt: skip


@pytest.mark.parametrize(("learner", "sound"), [("A17", True), ("B01", False)])
def test_does_the_guide_lead_to_readings_that_tell_a_worn_bank(
    tmp_path: Path, learner: str, sound: bool
) -> None:
    attempt = walked("promised-eight", GUIDE, CHAPTERS, tmp_path, learner)
    rest, tester, ampere, load, loaded = (reading.value or 0.0 for reading in attempt.readings)
    assert rest > 12.4
    assert ampere > 60.0
    assert (tester > 600.0, rest - load < 0.45, loaded > 12.2) == (sound, sound, sound)
    assert 2.0 < 200.0 / ampere < 3.6  # what the guide calls 'about three hours'


VERDICTS = {
    "nothing_wrong": "iiiniiiiii",
    "aux_bank_sulphated": "iooniiiiii",
    "aux_bank_discharged": "oionnnnno[io]",  # the isolator hangs at its switching point while so empty a bank takes all
    "isolator_stuck_open": "oioniiiioo",
    "holder_f1_corroded": "iiiniioiii",
    "condenser_blocked": "iiin[on][in]{3}ii",
}
"""What a person says by the spec sheet: in (i), out (o) or nothing (n), reading by reading; a part that differs
with the part that is hit, or with its severity, in alternatives."""


@pytest.mark.parametrize("cause", VERDICTS)
def test_does_the_card_deserve_the_verdicts_a_person_gives(cause: str) -> None:
    assert causes("a-night-in-figures") == set(VERDICTS)
    for seed in (4, 7):
        assert re.fullmatch(VERDICTS[cause], deserved("a-night-in-figures", cause, seed))
