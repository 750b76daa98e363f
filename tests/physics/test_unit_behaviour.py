"""Does the circuit do in sickness what technicians know of it?

Common practice, no source, where none is named.
"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.physics import refrigerant, unit
from tests.physics.circuits import UNIT, replace, run

TRIP_KPA = 2800.0  # absolute; invented, of the size of the high-pressure switches of the trade


def test_does_the_whole_unit_cool_two_kilowatts_for_six_hundred_watts():
    """The size the course asks for, 5 %; not a published figure."""
    made = run()
    assert made.cooling_W == pytest.approx(2000.0, rel=0.05)
    assert made.compressor_shaft_W == pytest.approx(600.0, rel=0.05)
    assert 3.0 < made.evaporating_C < 9.0
    assert 10.0 < made.condensing_C - 35.0 < 16.0


def test_is_the_settled_circuit_the_textbook_cycle_between_its_own_temperatures():
    """1 %: the tables and the friction against the cycle of the equation of state."""
    made = run(replace(UNIT, friction_Nm=0.0))
    cycle = refrigerant.cycle(made.evaporating_C, made.condensing_C, 5.0, 5.0, 0.65)
    assert made.cooling_W / made.compressor_shaft_W == pytest.approx(cycle.cop, rel=0.01)
    assert made.discharge_C == pytest.approx(cycle.discharge_C, abs=1.0)


def test_does_a_hotter_day_raise_the_head_and_cost_more_for_less():
    made = run(outside_C=np.arange(15.0, 46.0, 3.0))
    assert np.all(np.diff(made.discharge_kPa) > 0)
    assert np.all(np.diff(made.compressor_shaft_W) > 0)
    assert np.all(np.diff(made.cooling_W) < 0)


def test_does_a_faster_compressor_cool_more_at_a_worse_ratio():
    made = run(speed_rpm=np.arange(1200.0, 4500.0, 300.0))
    assert np.all(np.diff(made.cooling_W) > 0)
    assert np.all(np.diff(made.cooling_W / made.compressor_shaft_W) < 0)
    assert np.all(np.diff(made.evaporating_C) < 0)


def test_does_a_dead_fan_trip_on_a_hot_day_and_not_on_a_mild_one():
    hot, mild = (run(condenser_fan_fraction=0.0, outside_C=celsius) for celsius in (38.0, 24.0))
    assert hot.discharge_kPa > 1.1 * TRIP_KPA
    assert mild.discharge_kPa < 0.93 * TRIP_KPA
    assert run(outside_C=38.0).discharge_kPa < 0.6 * TRIP_KPA, "the fan alone makes the difference"
    assert mild.cooling_W > 1000.0, "on a mild night it still cools, so the complaint comes on hot days"


def test_does_dirt_act_like_a_slow_fan():
    made = run(condenser_blockage=np.linspace(0.0, 0.9, 10))
    assert np.all(np.diff(made.discharge_kPa) > 0)
    assert made.discharge_kPa[3] < 1.2 * made.discharge_kPa[0], "a third blocked is hardly felt"
    assert made.discharge_kPa[9] > TRIP_KPA


def test_does_a_small_loss_of_charge_go_unnoticed_and_a_large_one_starve_the_evaporator():
    charge = np.array([1.0, 0.85, 0.7, 0.55, 0.4, 0.3, 0.2])
    made = run(charge_fraction=charge)
    assert made.cooling_W[1] == pytest.approx(made.cooling_W[0])
    assert np.all(np.diff(made.cooling_W[1:]) < 0)
    assert np.all(np.diff(made.suction_kPa[1:]) < 0)
    assert np.all(np.diff(made.superheat_K[1:]) > 0)
    assert np.all(np.diff(made.air_off_C[1:]) > 0)
    assert np.all(np.diff(made.compressor_shaft_W[1:]) < 0)
    assert made.superheat_K[-1] > 25.0
    assert made.fins_C[-1] > made.fins_C[0] + 5.0, "little of the coil is still cold"


def test_does_an_empty_circuit_turn_freely_and_cool_nothing():
    full, empty = run(), run(charge_fraction=0.0)
    assert empty.cooling_W == 0.0
    assert empty.air_off_C == 27.0
    assert 0.0 < empty.compressor_shaft_W < 0.1 * full.compressor_shaft_W
    assert empty.suction_kPa == empty.discharge_kPa == pytest.approx(101.325)


def test_does_a_standing_circuit_rest_at_the_pressure_of_its_coldest_place():
    made = run(speed_rpm=0.0, outside_C=18.0)
    assert (
        made.suction_kPa
        == made.discharge_kPa
        == pytest.approx(refrigerant.saturation_pressure_kPa(18.0), rel=1e-6)
    )
    for quiet in (made.cooling_W, made.compressor_shaft_W, made.condenser_W, made.refrigerant_kg_per_s):
        assert quiet == 0.0
    assert made.air_off_C == made.surface_C == made.fins_C == 27.0


def test_does_the_resting_pressure_hold_while_any_liquid_is_left():
    charge = np.array([1.0, 0.5, 0.1, 0.05, 0.0])
    found = unit.resting_pressure_kPa(30.0, charge, 0.1)
    full = refrigerant.saturation_pressure_kPa(30.0)
    np.testing.assert_allclose(found, [full, full, full, 0.5 * full, 101.325])


def test_does_little_air_make_a_cold_coil_and_a_dry_bunk_a_warmer_bill():
    made = run(blower_flow_m3_per_s=np.array([0.105, 0.07, 0.04, 0.02, 0.0]))
    assert np.all(np.diff(made.surface_C) < 0)
    assert np.all(np.diff(made.cooling_W) < 0)
    humid, dry = run(bunk_humidity_ratio=0.015), run(bunk_humidity_ratio=0.004)
    assert humid.air_off_C > dry.air_off_C
    assert humid.condensate_kg_per_s > 0.0 == dry.condensate_kg_per_s


def test_does_a_weak_blower_freeze_the_coil_within_tens_of_minutes():
    """Between 20 and 120 minutes to a third of the air flow; common practice, no source."""
    ice, minutes, bunk, flow = 0.0, 0, 22.0, 0.02
    while minutes < 240 and unit.iced_flow_m3_per_s(flow, ice, UNIT.ice_full_kg) > flow / 3:
        minutes += 1
        made = run(bunk_C=bunk, bunk_humidity_ratio=0.011, blower_flow_m3_per_s=flow, ice_kg=ice)
        ice += 60.0 * unit.ice_rate_kg_per_s(made.surface_C, made.condensate_kg_per_s, ice, 30.0, bunk)
    assert 20 < minutes < 120


def test_does_ice_grow_below_zero_keep_at_zero_and_melt_above():
    surface = np.array([-5.0, -1.0, -0.5, 0.0, 0.5, 1.0, 10.0])
    rate = unit.ice_rate_kg_per_s(surface, 2e-4, 0.3, 30.0, 25.0)
    full = 30.0 * 25.0 / unit.FUSION_J_PER_KG
    np.testing.assert_allclose(rate, [2e-4, 2e-4, 1e-4, 0.0, -0.5 * full, -full, -full])
    assert unit.ice_rate_kg_per_s(10.0, 2e-4, 0.0, 30.0, 25.0) == 0.0, "nothing melts where nothing is"
    assert unit.ice_rate_kg_per_s(10.0, 2e-4, 0.3, 30.0, -5.0) == 0.0, "frost brings no heat"


def test_does_ice_close_the_passages_bit_by_bit():
    found = unit.iced_flow_m3_per_s(0.1, np.array([0.0, 0.05, 0.3, 0.6, 1.0]), 0.6)
    assert found[0] == 0.1
    assert found[1] > 0.097
    assert np.all(np.diff(found[:4]) < 0)
    assert found[3] == found[4] == pytest.approx(0.003)


def test_does_a_condenser_without_fan_or_clear_face_still_give_off_a_little():
    conductance = unit.condenser_conductance_W_per_K(UNIT, np.array([1.0, 0.5, 0.0]), 0.0)
    assert np.all(np.diff(conductance) < 0)
    assert 0.15 < conductance[2] / conductance[0] < 0.35
    # Never more than the air stream can carry.
    assert conductance[0] < 0.25 * 1006.0 / 0.87
    blocked = unit.condenser_conductance_W_per_K(UNIT, 1.0, np.array([0.0, 0.5, 1.0]))
    assert np.all(np.diff(blocked) < 0)
    assert blocked[2] > 0
