"""Thermistor: the curve and its inverse belong together, and a sensor follows its surroundings."""

from __future__ import annotations

import json

import msgspec
import numpy as np
import pytest

from parked_hvac.physics import thermistor
from parked_hvac.physics.thermistor import SteinhartHart, fit_steinhart_hart, follow


@pytest.mark.parametrize("name", ["10k", "5k"])
def test_do_curve_and_inverse_meet_over_the_whole_range(name):
    curve = thermistor.curve(name)
    temperatures = np.linspace(-60.0, 200.0, 521)
    there_and_back = curve.temperature_C(curve.resistance_ohm(temperatures))
    # Rounding: eps in ln R (up to 15) over its slope of about 0.02 to 0.07 per K leaves about 1e-12 K.
    np.testing.assert_allclose(there_and_back, temperatures, atol=1e-10, rtol=0)


@pytest.mark.parametrize("name", ["10k", "5k"])
def test_does_resistance_fall_at_every_higher_temperature(name):
    assert np.all(np.diff(thermistor.curve(name).resistance_ohm(np.linspace(-60.0, 200.0, 521))) < 0)


def test_does_a_fit_find_the_curve_its_points_lie_on():
    true = SteinhartHart(1.1e-3, 2.4e-4, 0.9e-7)
    at = np.array([-30.0, -5.0, 20.0, 55.0, 90.0])
    found = fit_steinhart_hart(at, true.resistance_ohm(at))
    np.testing.assert_allclose([found.a, found.b, found.c], [true.a, true.b, true.c], rtol=1e-9)


def test_do_an_open_and_a_shorted_sensor_read_far_outside_any_cabin():
    curve = thermistor.curve("10k")
    readings = curve.temperature_C(np.array([0.0, np.inf]))
    assert readings[0] > 900.0
    assert readings[1] < -150.0


def test_does_each_draw_of_a_batch_have_its_own_curve():
    one, other = thermistor.curve("10k"), thermistor.curve("5k")
    both = SteinhartHart(
        *(np.array(pair) for pair in zip((one.a, one.b, one.c), (other.a, other.b, other.c), strict=True))
    )
    np.testing.assert_array_equal(
        both.resistance_ohm(20.0), [one.resistance_ohm(20.0), other.resistance_ohm(20.0)]
    )


@pytest.mark.parametrize(
    ("temperatures_C", "resistances_ohm", "words"),
    [
        ([0.0, 25.0], [3.0, 1.0], "three points or more"),
        ([0.0, 25.0, 50.0], [3.0, 1.0], "3 temperatures and 2 resistances"),
        ([0.0, 25.0, 50.0], [3.0, 1.0, 0.0], "cannot have 0.0 Ω"),
        ([0.0, 25.0, 50.0], [3.0, 1.0, 2.0], "must fall"),
        ([0.0, 25.0, 50.0], [100.0, 99.0, 1.0], "which no thermistor has"),
    ],
)
def test_does_a_bad_table_say_what_to_do(temperatures_C, resistances_ohm, words):
    with pytest.raises(ValueError, match=words):
        fit_steinhart_hart(temperatures_C, resistances_ohm)


def test_does_an_unknown_table_name_those_there_are():
    with pytest.raises(FileNotFoundError, match="use one of 10k, 5k"):
        thermistor.table("20k")


def test_is_a_table_with_an_unknown_key_refused(tmp_path, monkeypatch):
    folder = tmp_path / "physics"
    folder.mkdir()
    bad = {
        "title": "t",
        "source": "s",
        "how": "h",
        "nominal_ohm": 1.0,
        "unit": "ohm",
        "points": [],
        "colour": "red",
    }
    (folder / "thermistor-planted.json").write_text(json.dumps(bad))
    monkeypatch.setenv("PARKED_HVAC_DATA", str(tmp_path))
    with pytest.raises(msgspec.ValidationError, match="colour"):
        thermistor.table("planted")


def test_do_two_half_steps_equal_one_step():
    half = follow(follow(25.0, 34.0, 8.0, 3.0), 34.0, 8.0, 3.0)
    assert half == pytest.approx(follow(25.0, 34.0, 8.0, 6.0), abs=1e-12)


def test_does_a_sensor_move_towards_its_target_and_never_past_it():
    after = follow(25.0, np.array([-10.0, 25.0, 34.0]), 8.0, np.array([[0.0], [4.0], [1e6]]))
    np.testing.assert_allclose(after[0], 25.0)
    assert -10.0 < after[1, 0] < 25.0 < after[1, 2] < 34.0
    np.testing.assert_allclose(after[2], [-10.0, 25.0, 34.0])
