"""Does R-134a obey thermodynamics, whatever its coefficients?"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parked_hvac.physics import refrigerant

BOILING_C = np.linspace(-40.0, 80.0, 25)


def test_does_the_saturation_line_fit_the_heat_and_the_volumes():
    """Clausius and Clapeyron: dp/dT = heat of vaporisation / (T * change of volume).

    The pressure comes from a fitted line, heat and volumes from the equation of state: 0.2 %, the slope of a
    fit that is 0.01 % off.
    """
    step = 0.01
    slope = (
        refrigerant.saturation_pressure_kPa(BOILING_C + step)
        - refrigerant.saturation_pressure_kPa(BOILING_C - step)
    ) * (1000.0 / (2 * step))
    steam, liquid = refrigerant.saturated_vapour(BOILING_C), refrigerant.saturated_liquid(BOILING_C)
    swelling = 1.0 / steam.density_kg_per_m3 - 1.0 / liquid.density_kg_per_m3
    heat = steam.enthalpy_J_per_kg - liquid.enthalpy_J_per_kg
    np.testing.assert_allclose(slope, heat / ((BOILING_C + 273.15) * swelling), rtol=2e-3)


def test_do_vapour_and_liquid_have_one_gibbs_energy():
    """Balance of the phases: h - T s alike; 30 J/kg of 200 kJ/kg, from the fitted pressure."""
    steam, liquid = refrigerant.saturated_vapour(BOILING_C), refrigerant.saturated_liquid(BOILING_C)
    kelvin = BOILING_C + 273.15
    left = steam.enthalpy_J_per_kg - kelvin * steam.entropy_J_per_kg_K
    right = liquid.enthalpy_J_per_kg - kelvin * liquid.entropy_J_per_kg_K
    np.testing.assert_allclose(left, right, atol=30.0, rtol=0)


def test_does_heat_along_an_isobar_follow_from_the_specific_heat():
    """dh = cp dT and dh = T ds at one pressure; 1e-5, central differences."""
    celsius, step = np.linspace(20.0, 120.0, 11), 0.05
    here = refrigerant.vapour(celsius, 500.0)
    above, below = refrigerant.vapour(celsius + step, 500.0), refrigerant.vapour(celsius - step, 500.0)
    rise = (above.enthalpy_J_per_kg - below.enthalpy_J_per_kg) / (2 * step)
    entropy = (above.entropy_J_per_kg_K - below.entropy_J_per_kg_K) / (2 * step)
    np.testing.assert_allclose(rise, here.specific_heat_J_per_kg_K, rtol=1e-5)
    np.testing.assert_allclose(rise, (celsius + 273.15) * entropy, rtol=1e-5)


def test_does_enthalpy_along_an_isotherm_follow_from_the_volume():
    """(dh/dp)_T = v - T (dv/dT)_p; 1e-3, second differences."""
    celsius, kPa = 60.0, np.linspace(100.0, 1200.0, 12)
    slope = (
        refrigerant.vapour(celsius, kPa + 1.0).enthalpy_J_per_kg
        - refrigerant.vapour(celsius, kPa - 1.0).enthalpy_J_per_kg
    ) / 2000.0
    volume = 1.0 / refrigerant.vapour(celsius, kPa).density_kg_per_m3
    warmer = 1.0 / refrigerant.vapour(celsius + 0.1, kPa).density_kg_per_m3
    colder = 1.0 / refrigerant.vapour(celsius - 0.1, kPa).density_kg_per_m3
    np.testing.assert_allclose(slope, volume - (celsius + 273.15) * (warmer - colder) / 0.2, rtol=1e-3)


def test_does_thin_vapour_become_an_ideal_gas():
    """Compressibility tends to 1: within 0.1 % at 5 kPa and 60 °C."""
    found = refrigerant.vapour(60.0, 5.0)
    ideal = 5000.0 / (refrigerant.GAS_CONSTANT_J_PER_KG_K * 333.15)
    assert found.density_kg_per_m3 == pytest.approx(ideal, rel=1e-3)


@settings(deadline=None)  # a test states no time
@given(st.floats(-59.0, 95.0))
def test_does_boiling_temperature_undo_boiling_pressure(celsius):
    pressure = refrigerant.saturation_pressure_kPa(celsius)
    assert refrigerant.saturation_temperature_C(pressure) == pytest.approx(celsius, abs=1e-8)


LIFTS = (st.floats(-40.0, 20.0), st.floats(5.0, 60.0), st.floats(0.4, 1.0))


@settings(deadline=None)  # a test states no time
@given(*LIFTS)
def test_does_no_cycle_beat_carnot(evaporating, lift, efficiency):
    made = refrigerant.cycle(evaporating, evaporating + lift, 0.0, 0.0, efficiency)
    assert 0.0 < made.cop < (evaporating + 273.15) / lift


@settings(deadline=None)  # a test states no time
@given(*LIFTS, st.floats(0.0, 30.0))
def test_does_a_cycle_keep_energy_and_never_lose_entropy(evaporating, lift, efficiency, superheat):
    """1 J/kg and 1e-3 J/(kg K), where the Newton steps for the discharge end."""
    made = refrigerant.cycle(evaporating, evaporating + lift, superheat, 3.0, efficiency)
    assert made.heat_rejected_J_per_kg == pytest.approx(made.cooling_J_per_kg + made.work_J_per_kg)
    assert made.isentropic_work_J_per_kg == pytest.approx(efficiency * made.work_J_per_kg)
    end = refrigerant.vapour(made.discharge_C, made.condensing_kPa)
    start = refrigerant.vapour(made.suction_C, made.evaporating_kPa)
    assert end.enthalpy_J_per_kg == pytest.approx(start.enthalpy_J_per_kg + made.work_J_per_kg, abs=1.0)
    assert end.entropy_J_per_kg_K >= start.entropy_J_per_kg_K - 1e-3


def test_does_a_higher_lift_cost_more_and_cool_less():
    condensing = np.arange(30.0, 81.0, 5.0)
    made = refrigerant.cycle(5.0, condensing, 5.0, 5.0, 0.65)
    assert np.all(np.diff(made.cop) < 0)
    assert np.all(np.diff(made.cooling_J_per_kg) < 0)
    assert np.all(np.diff(made.discharge_C) > 0)


def test_do_many_draws_give_what_each_gives_alone():
    evaporating, condensing = np.array([-10.0, 0.0, 8.0]), np.array([40.0, 50.0, 60.0])
    many = refrigerant.cycle(evaporating, condensing, 5.0, 5.0, 0.65)
    for place in range(3):
        one = refrigerant.cycle(evaporating[place], condensing[place], 5.0, 5.0, 0.65)
        assert one.cop == pytest.approx(many.cop[place], rel=1e-12)
        assert np.shape(one.cop) == ()


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (
            lambda: refrigerant.saturation_pressure_kPa(150.0),
            r"Temperature 150 .* give one from -60 to 101.06 °C",
        ),
        (lambda: refrigerant.saturation_temperature_C([500.0, -3.0]), r"Pressure -3 .* give one from 15.9"),
        (lambda: refrigerant.saturated_liquid(99.0), r"Temperature 99 .* give one from -60 to 95 °C"),
        (
            lambda: refrigerant.cycle(50.0, 5.0, 5.0, 5.0, 0.65),
            r"Condensing temperature 5 .* above the evaporating one",
        ),
        (
            lambda: refrigerant.cycle(5.0, 50.0, 5.0, 5.0, 65.0),
            r"Isentropic efficiency 65 .* give one from 0.01 to 1",
        ),
    ],
)
def test_does_a_value_out_of_reach_get_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        call()
