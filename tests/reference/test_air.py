"""Does moist air carry and lose the water that handbooks and textbooks say?

Outside values: air_sat.json, air_ashrae_ex1.json, air_cengel_14_69.json, air_useful_states.json,
air_cengel_14_6.json, air_cooling_coil_ashrae.json. The published numbers of the last two are from memory.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from parked_hvac.physics import air

AUTHORITIES = Path(__file__).parent / "authorities"


def value_of(name: str):
    return json.loads((AUTHORITIES / f"{name}.json").read_text(encoding="utf-8"))["value"]


SATURATED = value_of("air_sat")


def columns(name: str) -> tuple[np.ndarray, np.ndarray]:
    table = SATURATED[name]
    return np.array([float(key) for key in table]), np.array(list(table.values()))


def test_is_the_vapour_pressure_of_water_and_ice_that_of_ashrae():
    """air_sat.json: 0.03 %, the difference between two generations of the same handbook."""
    celsius, pascal = columns("ashrae_psat_Pa")
    np.testing.assert_allclose(1000.0 * air.saturation_pressure_kPa(celsius), pascal, rtol=3e-4)


def test_is_saturated_air_as_humid_as_ashrae_says():
    """air_sat.json: 0.5 % to 30 °C and 1 % at 50 °C, since perfect gases stand for real ones here."""
    celsius, ratio = columns("ashrae_Ws")
    found = air.saturation_humidity_ratio(celsius)
    np.testing.assert_allclose(found[celsius < 31], ratio[celsius < 31], rtol=5e-3)
    np.testing.assert_allclose(found, ratio, rtol=1e-2)
    assert np.all(found < ratio), "perfect gases carry a little less"


def test_is_saturated_air_as_humid_as_two_libraries_say():
    """air_sat.json: the perfect-gas library to its printed digits, the real-gas one within 0.6 %."""
    celsius, ratio = columns("psychrolib_Ws")
    np.testing.assert_allclose(air.saturation_humidity_ratio(celsius), ratio, rtol=5e-4)
    celsius, ratio = columns("coolprop_HA_Ws")
    np.testing.assert_allclose(air.saturation_humidity_ratio(celsius), ratio, rtol=6e-3)


def test_does_saturated_air_hold_the_heat_that_ashrae_says():
    """air_sat.json: 1 %, perfect gases again."""
    celsius, joule = columns("ashrae_hs_J_kg")
    found = air.enthalpy_J_per_kg(celsius, air.saturation_humidity_ratio(celsius))
    np.testing.assert_allclose(found, joule, rtol=1e-2)


def test_does_ashraes_example_with_a_wet_bulb_come_out():
    """air_ashrae_ex1.json: 40 °C dry, 20 °C wet bulb; tolerances of the file, a chart was read for it."""
    given = value_of("air_ashrae_ex1")
    ratio = given["psychrolib"]["W"]
    assert ratio == pytest.approx(given["W"], abs=1e-4)
    assert air.wet_bulb_C(40.0, ratio) == pytest.approx(20.0, abs=0.01)
    assert air.dew_point_C(ratio) == pytest.approx(given["tdp"], abs=0.5)
    assert air.relative_humidity(40.0, ratio) == pytest.approx(given["RH"], abs=0.01)
    assert air.enthalpy_J_per_kg(40.0, ratio) / 1000 == pytest.approx(given["h_kJ_kg"], abs=0.1)
    assert air.specific_volume_m3_per_kg(40.0, ratio) == pytest.approx(given["v"], rel=0.01)


def test_does_the_textbook_state_come_out():
    """air_cengel_14_69.json: 30 °C, 60 %; h 0.3, W 0.0002, dew point 0.2, what a chart can be read to."""
    given = value_of("air_cengel_14_69")
    ratio = air.humidity_ratio(30.0, 0.6)
    assert ratio == pytest.approx(given["W"], abs=2e-4)
    assert air.enthalpy_J_per_kg(30.0, ratio) / 1000 == pytest.approx(given["h"], abs=0.3)
    assert air.dew_point_C(ratio) == pytest.approx(given["tdp"], abs=0.2)


@pytest.mark.parametrize(("name", "celsius"), [("air_ashrae_ex1", 40.0), ("air_cengel_14_69", 30.0)])
def test_do_the_same_states_come_out_as_another_library_has_them(name, celsius):
    """Computed with psychrolib, which has the same equations: its printed digits."""
    given = value_of(name)["psychrolib"]
    ratio = given["W"]
    assert air.relative_humidity(celsius, ratio) == pytest.approx(given.get("RH", 0.6), abs=5e-4)
    assert air.dew_point_C(ratio) == pytest.approx(given["tdp"], abs=0.02)
    assert air.enthalpy_J_per_kg(celsius, ratio) / 1000 == pytest.approx(
        given.get("h_kJ_kg", given.get("h")), abs=0.02
    )
    if "v" in given:
        assert air.specific_volume_m3_per_kg(celsius, ratio) == pytest.approx(given["v"], abs=2e-4)


def test_do_the_states_of_a_hot_day_come_out():
    """air_useful_states.json: the printed digits, for the library uses the same equations."""
    for row in value_of("air_useful_states"):
        ratio = air.humidity_ratio(row["C"], row["rh"])
        assert ratio == pytest.approx(row["W"], abs=5e-5 if "dew_C" not in row else 5e-6)
        if "h_kJ_kg" in row:
            assert air.enthalpy_J_per_kg(row["C"], ratio) / 1000 == pytest.approx(row["h_kJ_kg"], abs=0.02)
        if "dew_C" in row:
            assert air.dew_point_C(ratio) == pytest.approx(row["dew_C"], abs=0.02)


def coil(flow_m3_per_s: float, celsius: float, humidity: float, surface_C: float) -> tuple[float, float]:
    """Heat in kW and condensate in kg/s of air that leaves saturated at the surface's temperature."""
    ratio = air.humidity_ratio(celsius, humidity)
    made = air.cooled_by_surface(celsius, ratio, surface_C, contact=1.0)
    dry = flow_m3_per_s / air.specific_volume_m3_per_kg(celsius, ratio)
    assert made.temperature_C == pytest.approx(surface_C)
    assert air.relative_humidity(made.temperature_C, made.humidity_ratio_kg_per_kg) == pytest.approx(1.0)
    heat = dry * (made.sensible_J_per_kg + made.latent_J_per_kg) / 1000
    return float(heat), float(dry * made.condensate_kg_per_kg)


def test_does_a_textbook_cooling_coil_take_its_heat_and_water():
    """air_cengel_14_6.json (published numbers from memory): 0.5 %, its three digits."""
    given = value_of("air_cengel_14_6")
    heat_kW, water = coil(10.0 / 60.0, 30.0, 0.8, 14.0)
    assert 60 * heat_kW == pytest.approx(given["Q_kJ_min"], rel=0.005)
    assert 60 * water == pytest.approx(given["m_w_kg_min"], rel=0.005)
    computed = given["psychrolib"]  # the same equations: a thousandth
    assert 60 * heat_kW == pytest.approx(computed["Q_kJ_min"], rel=1e-3)
    assert 60 * water == pytest.approx(computed["m_w_kg_min"], rel=1e-3)
    dry = 10.0 / air.specific_volume_m3_per_kg(30.0, air.humidity_ratio(30.0, 0.8))
    assert dry == pytest.approx(computed["m_da"], rel=1e-3)


def test_does_ashraes_cooling_coil_take_its_heat_and_water():
    """air_cooling_coil_ashrae.json (published number from memory): 1 %."""
    given = value_of("air_cooling_coil_ashrae")
    heat_kW, water = coil(5.0, 30.0, 0.5, 10.0)
    assert heat_kW == pytest.approx(given["q_kW"], rel=0.01)
    computed = given["psychrolib"]  # the same equations: a thousandth, or its last digit
    assert heat_kW == pytest.approx(computed["q_kW"], rel=1e-3)
    assert water == pytest.approx(computed["m_w_kg_s"], rel=0.005)
    for number, celsius, humidity in ((1, 30.0, 0.5), (2, 10.0, 1.0)):
        ratio = air.humidity_ratio(celsius, humidity)
        assert ratio == pytest.approx(computed[f"W{number}"], abs=1e-5)
        assert air.enthalpy_J_per_kg(celsius, ratio) / 1000 == pytest.approx(computed[f"h{number}"], abs=0.02)
    volume = air.specific_volume_m3_per_kg(30.0, air.humidity_ratio(30.0, 0.5))
    assert volume == pytest.approx(computed["v1"], abs=1e-4)
    assert 5.0 / volume == pytest.approx(computed["m_da"], rel=1e-3)
