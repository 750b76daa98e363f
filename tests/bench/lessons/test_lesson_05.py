"""Do the figures of the sensor lesson follow the published curves, and does its guide tell the two causes apart?"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from parked_hvac.bench.lessons import temperature_sensors as lesson
from parked_hvac.bench.lessons.thermistor_plot import BeadReading, curves_plot
from parked_hvac.bench.lessons.warm_it import GUIDE
from parked_hvac.physics import thermistor
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.faults import draw_parameters
from parked_hvac.rig.truck import Truck
from tests.bench.lessons.guided import act, asked, differ, explained, meter, walked


def from_table(name: str, celsius: float) -> float:
    """Ohms between two lines of the published table in data/physics, by its logarithm: no fitted curve."""
    listed = thermistor.table(name)
    temperatures, values = np.array(listed.points).T
    scale = listed.nominal_ohm if listed.unit == "R/R25" else 1.0
    return float(np.exp(np.interp(celsius, temperatures, np.log(values * scale))))


@pytest.mark.parametrize("turn", range(5))
def test_do_the_items_agree_with_the_published_table(turn: int) -> None:
    listed = asked(lesson.check_yourself())._items
    kohm = float(re.findall(r"([\d.]+) kΩ", str(listed[0].text))[0])
    assert from_table("5k", float(listed[0].right or 0)) == pytest.approx(kohm * 1e3, rel=0.02)
    celsius = float(re.findall(r"at (\d+) °C", str(listed[1].text))[0])
    assert from_table("10k", celsius) == pytest.approx(float(listed[1].right or 0) * 1e3, rel=0.02)


@pytest.mark.parametrize("turn", range(3))
def test_is_the_belief_asked_for_what_the_truck_s_controller_believes(turn: int) -> None:
    item = asked(lesson.check_yourself())._items[8]
    celsius, extra = map(float, re.findall(r"has (\d+)", str(item.text))[:2])
    figures = draw_parameters(["nothing_wrong"], 1, np.random.default_rng(3))
    figures.set("sensor.B2.series_ohm", np.array([extra * 1e3]))
    truck = Truck(figures, Conditions(bunk_C=celsius, outside_C=celsius))
    truck.set_key("on")
    truck.press_parked_cooling(True)
    truck.advance(10.0)
    assert float(truck.live("bunk_C")[0]) == pytest.approx(float(item.right or 0), abs=item.tolerance)


def test_are_there_enough_items_all_explained_and_other_ones_each_time() -> None:
    explained(lesson.check_yourself)
    assert differ(lesson.check_yourself)


def test_does_the_plot_say_how_far_a_reading_is_off() -> None:
    sound = BeadReading("5k", from_table("5k", 28.0), 28.0)
    assert "agree within" in curves_plot(sound).words
    lying = BeadReading("5k", from_table("5k", 18.0), 28.0)
    assert re.search(r"(9\.\d|10\.\d) °C too cold", curves_plot(lying).words)


def test_does_a_sensor_that_reads_cold_leave_the_bunk_warm() -> None:
    ends = {
        fault: float(re.findall(r"air in the bunk has ([\d.]+)", lesson.lie_plot(fault).words)[0])
        for fault in ("nothing_wrong", "b2_shifted", "b2_open")
    }
    assert ends["b2_shifted"] > ends["nothing_wrong"] + 4.0
    assert ends["b2_open"] < ends["nothing_wrong"]


CHAPTERS = [
    [act("prepare", step="chock_wheels"), act("prove_meter"), act("switch_key", position="on"),
     act("set_temperature", celsius=16.0), act("set_blower", step=3), act("switch_parked_cooling", on=True),
     act("wait", seconds=20.0), act("read_live", value="bunk_C")],
    [act("thermometer", point="bunk air")],
    [act("read_codes")],
    [act("switch_parked_cooling", on=False), act("switch_key", position="off"),
     act("part_connector", connector="X32"), meter("ohms", "B2.1", "B2.2")],
    [act("warm_sensor", sensor="B2", seconds=60.0), meter("ohms", "B2.1", "B2.2")],
]  # fmt: skip


@pytest.mark.parametrize(("learner", "follows"), [("A17", True), ("self-study", False)])
def test_does_the_guide_tell_a_shifted_bead_from_ohms_in_series(
    tmp_path: Path, learner: str, follows: bool
) -> None:
    attempt = walked("cool-enough", GUIDE, CHAPTERS, tmp_path, learner)
    live, air, codes, cold, warm = (
        reading for reading in attempt.readings if reading.action != "prove_meter"
    )
    assert codes.display == "no codes"
    assert live.value is not None
    assert air.value is not None
    assert live.value < air.value - 4.0
    table = [float(thermistor.curve("5k").temperature_C(float(x.value or 0))) for x in (cold, warm)]
    moved, truly = table[1] - table[0], 33.0 - air.value  # fingers: common practice, data/rig/components.toml
    assert (moved > 0.75 * truly) is follows
