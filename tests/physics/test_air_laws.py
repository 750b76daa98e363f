"""Does moist air keep its water and its energy?"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parked_hvac.physics import air

CELSIUS = st.floats(-30.0, 60.0)
HUMIDITY = st.floats(0.02, 1.0)


@settings(deadline=None)  # a test states no time
@given(CELSIUS, HUMIDITY)
def test_do_humidity_and_dew_point_lead_back_to_where_they_began(celsius, humidity):
    ratio = air.humidity_ratio(celsius, humidity)
    assert air.relative_humidity(celsius, ratio) == pytest.approx(humidity, rel=1e-9)
    dew = air.dew_point_C(ratio)
    assert dew <= celsius + 1e-6
    assert air.saturation_humidity_ratio(dew) == pytest.approx(ratio, rel=1e-6)


@settings(deadline=None)  # a test states no time
@given(CELSIUS.filter(lambda celsius: celsius > 1.0), HUMIDITY)
def test_does_the_wet_bulb_lie_between_dew_point_and_dry_bulb(celsius, humidity):
    ratio = air.humidity_ratio(celsius, humidity)
    wet = air.wet_bulb_C(celsius, ratio)
    assert air.dew_point_C(ratio) - 1e-6 <= wet <= celsius + 1e-6
    assert air.wet_bulb_C(celsius, air.saturation_humidity_ratio(celsius)) == pytest.approx(celsius, abs=1e-3)


def test_do_ice_and_water_meet_at_the_triple_point():
    """0.1 %: two polynomials of one handbook."""
    below, above = air.saturation_pressure_kPa(0.0099), air.saturation_pressure_kPa(0.0101)
    assert below == pytest.approx(above, rel=1e-3)
    assert above == pytest.approx(0.6112, rel=1e-3)


def test_does_the_vapour_pressure_slope_follow_from_the_heat_of_vaporisation():
    """Clausius and Clapeyron with an ideal gas: 1 %, what the ideal gas leaves out below 40 °C."""
    celsius = np.array([2.0, 10.0, 20.0, 30.0, 40.0])
    step = 0.01
    slope = np.log(
        air.saturation_pressure_kPa(celsius + step) / air.saturation_pressure_kPa(celsius - step)
    ) / (2 * step)
    gas = 8.314462 / 0.01801528
    heat = slope * gas * (celsius + 273.15) ** 2
    np.testing.assert_allclose(heat, air.vaporisation_J_per_kg(celsius), rtol=1e-2)


@settings(deadline=None)  # a test states no time
@given(CELSIUS, HUMIDITY, st.floats(-20.0, 30.0), st.floats(0.0, 1.0))
def test_does_a_cold_surface_take_just_what_the_air_loses(celsius, humidity, surface, contact):
    ratio = air.humidity_ratio(celsius, humidity)
    made = air.cooled_by_surface(celsius, ratio, surface, contact)
    before = air.enthalpy_J_per_kg(celsius, ratio)
    after = air.enthalpy_J_per_kg(made.temperature_C, made.humidity_ratio_kg_per_kg)
    water = made.condensate_kg_per_kg * air.LIQUID_WATER_J_PER_KG_K * surface
    assert before - after - water == pytest.approx(made.sensible_J_per_kg + made.latent_J_per_kg, abs=1e-6)
    assert made.humidity_ratio_kg_per_kg + made.condensate_kg_per_kg == pytest.approx(ratio, rel=1e-12)


def test_does_nothing_condense_above_the_dew_point():
    ratio = air.humidity_ratio(27.0, 0.5)
    dew = air.dew_point_C(ratio)
    made = air.cooled_by_surface(27.0, ratio, np.array([dew - 1.0, dew + 1.0]), 0.8)
    assert made.condensate_kg_per_kg[0] > 0.0
    assert made.condensate_kg_per_kg[1] == 0.0
    assert made.latent_J_per_kg[1] == 0.0


def test_do_arrays_keep_their_shape_and_numbers_stay_numbers():
    celsius = np.array([10.0, 20.0, 30.0])
    for made in (
        air.humidity_ratio(celsius, 0.5),
        air.dew_point_C(air.humidity_ratio(celsius, 0.5)),
        air.wet_bulb_C(celsius, 0.005),
    ):
        assert made.shape == (3,)
    assert np.ndim(air.humidity_ratio(20.0, 0.5)) == 0


def test_does_thin_air_carry_more_water():
    """At 1500 m (84.6 kPa) the same vapour pressure is a larger share."""
    assert air.humidity_ratio(25.0, 0.5, 84.6) > 1.15 * air.humidity_ratio(25.0, 0.5)
