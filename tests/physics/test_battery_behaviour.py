"""Battery: what a technician meets, shown by the physics with nothing written down about it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from parked_hvac.physics import battery
from parked_hvac.physics.battery import BatteryState, advance, emf_V, typical
from tests.physics.banks import charge, parallel

AGM = typical("agm", 100.0)
BANK = typical("flooded", np.full((3, 1), 100.0))


def test_does_a_low_battery_pass_for_a_full_one_just_after_a_short_charge():
    state, _ = charge(BatteryState(0.5), AGM, 14.2, hours=0.25)
    soon = emf_V(advance(state, AGM, 0.0, 300.0), AGM)
    late = emf_V(advance(state, AGM, 0.0, 12 * 3600.0), AGM)
    assert soon > battery.open_circuit_voltage_V(1.0)
    assert late < battery.open_circuit_voltage_V(0.75)


def test_does_a_few_minutes_of_load_take_the_surface_charge_off():
    """Headlamps for some minutes, then a pause: common practice, no source."""
    state, _ = charge(BatteryState(0.6), AGM, 14.2, hours=0.5)
    loaded = advance(state, AGM, 0.0, 60.0)
    for _ in range(18):
        loaded = advance(loaded, AGM, 10.0, 10.0)
    rested = advance(advance(state, AGM, 0.0, 60.0), AGM, 0.0, 180.0)
    assert loaded.surface_V < 0.3 * rested.surface_V


def test_does_a_shorted_cell_take_a_sixth_off_at_rest():
    short = replace(AGM, shorted_cells=1.0)
    missing = emf_V(BatteryState(0.9), AGM) - emf_V(BatteryState(0.9), short)
    assert missing == pytest.approx(2.1, abs=0.1)  # one cell holds 1.95 to 2.15 V, common knowledge


def test_does_a_shorted_cell_drain_its_neighbours():
    p = replace(BANK, shorted_cells=np.array([[0.0], [1.0], [0.0]]))
    state = BatteryState(np.full((3, 1), 0.95))
    for _ in range(8 * 720):
        # Held currents swing in steps of more than twice surface_build_s, 8 s; the rig solves within its steps.
        voltage, given = parallel(state, p, load_A=0.0)
        state = advance(state, p, given, 5.0)
    assert given.sum() == pytest.approx(0.0, abs=1e-9)
    assert given[0, 0] > 0.5
    assert given[1, 0] < -1.0
    assert state.state_of_charge[0, 0] < 0.95
    assert voltage[0] < battery.open_circuit_voltage_V(0.95, 25.0, "flooded")


def test_do_equal_batteries_share_and_a_sulphated_one_lag():
    p = replace(BANK, resistance_factor=np.array([[1.0], [4.0], [1.0]]))
    _, given = parallel(BatteryState(np.full((3, 1), 0.9)), p, load_A=90.0)
    assert given.sum() == pytest.approx(90.0)
    assert given[0, 0] == pytest.approx(given[2, 0])
    assert given[1, 0] == pytest.approx(given[0, 0] / 4.0)


def test_do_neighbours_charge_a_battery_that_was_low():
    state = BatteryState(np.array([[0.95], [0.5], [0.95]]))
    for _ in range(4 * 120):
        _, given = parallel(state, BANK, load_A=0.0, step_s=30.0)
        state = advance(state, BANK, given, 30.0)
    assert state.state_of_charge[1, 0] > 0.55
    assert state.state_of_charge.sum() == pytest.approx(2.4, abs=0.005)  # less the little that gasses


def test_does_overcharging_make_gas():
    at_limit, _ = charge(BatteryState(1.0), AGM, 14.4, hours=4.0)
    beyond, _ = charge(BatteryState(1.0), AGM, 15.6, hours=4.0)
    assert battery.gassing_current_A(at_limit, AGM) < 1.0
    assert battery.gassing_current_A(beyond, AGM) > 5.0 * battery.gassing_current_A(at_limit, AGM)
