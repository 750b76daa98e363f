"""Do the figures of the battery lesson come out of rig and sheet, and does its guide lead to the weak one of four?"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from parked_hvac.bench.lessons import batteries_at_rest as lesson
from parked_hvac.bench.lessons.bank_runs import SOUND, four_batteries, load_run, resting_V
from parked_hvac.bench.lessons.charge_curve import charge_of, charge_plot
from parked_hvac.bench.lessons.half_the_night import GUIDE
from parked_hvac.physics import battery
from parked_hvac.rig.catalogue import catalogue
from tests.bench.lessons.guided import act, differ, explained, meter, walked


def test_are_the_limits_those_of_the_spec_sheet() -> None:
    sheet = catalogue().spec_sheet
    assert sheet["rest_banks"].low == lesson.REST_LIMIT_V
    assert sheet["load_aux"].low == lesson.LOAD_LIMIT_V


@pytest.mark.parametrize("kind", ["agm", "flooded"])
def test_does_a_reading_come_back_from_the_curve(kind: battery.Chemistry) -> None:
    voltage = float(battery.open_circuit_voltage_V(0.63, 25.0, kind))
    # The curve is read off 41 points joined by straight lines.
    assert charge_of(voltage, kind) == pytest.approx(0.63, abs=0.002)


def test_does_the_plot_say_when_a_reading_is_off_the_curve() -> None:
    assert "beyond the curve" in charge_plot(13.4).words
    assert "beyond" not in charge_plot(12.4).words


def test_does_a_low_bank_look_good_for_a_short_while_only() -> None:
    assert resting_V(0.4, 0.05) > lesson.REST_LIMIT_V > resting_V(0.4, 1.0)


def test_is_the_weak_one_of_four_in_spec_at_rest_and_under_load() -> None:
    weak = load_run("aux_battery_weak")
    assert weak.rest_V > lesson.REST_LIMIT_V
    assert weak.loaded_V > lesson.LOAD_LIMIT_V
    assert weak.resistance_ohm > 1.1 * load_run(SOUND).resistance_ohm


@pytest.mark.parametrize("tool", ["load", "conductance"])
def test_does_the_weak_one_show_only_alone(tool: str) -> None:
    banked, alone = (
        four_batteries("aux_battery_weak", False, tool),
        four_batteries("aux_battery_weak", True, tool),
    )
    assert min(banked) > 0.75 * max(banked)
    # The mildest weak battery has nine times the resistance: 0.035 Ω against the tester's 0.06 Ω leaves 8 of 12 V.
    assert min(alone) < 0.75 * sorted(alone)[1]


@pytest.mark.parametrize("turn", range(6))
def test_do_the_items_agree_with_curve_and_sheet(turn: int) -> None:
    listed = explained(lesson.check_yourself)
    rested = float(re.findall(r"25 °C: (\d+\.\d+) V", str(listed[0].text))[0])
    kind: battery.Chemistry = "agm" if "AGM" in str(listed[0].text) else "flooded"
    assert listed[0].right == pytest.approx(100 * charge_of(rested, kind, 25.0))
    assert listed[1].right == (0 if rested >= lesson.REST_LIMIT_V else 1)
    at_rest, running = map(float, re.findall(r"(\d+\.\d+) V", str(listed[3].text))[:2])
    current = float(re.findall(r"at (\d+) A", str(listed[3].text))[0])
    assert listed[3].right == pytest.approx((at_rest - running) / current * 1e3, abs=0.1)
    siemens = {place: int(s) for place, s in re.findall(r"(G2\.\d) (\d+) S", str(listed[7].text))}
    weakest = min(siemens, key=lambda place: siemens[place])
    assert listed[7].choices[1].startswith(weakest)


def test_are_the_figures_other_ones_each_time() -> None:
    assert differ(lesson.check_yourself)


CHAPTERS = [
    [*(act("prepare", step=s) for s in ("chock_wheels", "eye_protection", "rings_off")),
     act("prove_meter"), act("open_cover", cover="aux_bank_lid"), meter("dc_volts", "G2+", "G2-")],
    [act("switch_key", position="on"), act("set_temperature", celsius=16.0), act("set_blower", step=5),
     act("switch_parked_cooling", on=True), act("wait", seconds=120.0), meter("dc_volts", "G2+", "G2-")],
    [act("switch_parked_cooling", on=False), act("switch_key", position="off"),
     act("test_battery", battery="G2.1")],
    [*(act("part_connector", connector=f"G2.{i}-") for i in (1, 2, 3)),
     *(act("test_battery", battery=f"G2.{i}") for i in (1, 2, 3, 4))],
]  # fmt: skip


@pytest.mark.parametrize("learner", ["A17", "self-study"])
def test_does_the_guide_lead_to_one_battery_far_below_the_others(tmp_path: Path, learner: str) -> None:
    attempt = walked("half-the-night", GUIDE, CHAPTERS, tmp_path, learner)
    rest, loaded, banked, *alone = (
        reading.value for reading in attempt.readings if reading.action != "prove_meter"
    )
    assert rest is not None
    assert loaded is not None
    assert banked is not None
    assert rest > lesson.REST_LIMIT_V
    assert loaded > lesson.LOAD_LIMIT_V
    ranked = sorted(value for value in alone if value is not None)
    assert len(ranked) == 4
    assert ranked[0] < 0.3 * ranked[1]
    assert banked > 1.5 * ranked[-1]
