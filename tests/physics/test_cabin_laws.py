"""Does the bunk keep heat and water, whatever the step?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.physics import air, cabin
from tests.physics.bunk import BUNK, replace, settled

START = cabin.CabinState(air_C=38.0, mass_C=33.0, humidity_ratio_kg_per_kg=0.014)
HOT = {
    "outside_C": 36.0,
    "outside_humidity_ratio_kg_per_kg": 0.012,
    "sun_W": 350.0,
    "occupants": cabin.People(70.0, 35.0),
    "supply_W_per_K": 125.0,
    "supply_C": 14.0,
    "condensate_kg_per_s": 1.5e-4,
}


def stepped(steps: int, seconds: float, state: cabin.CabinState = START, **conditions) -> cabin.CabinState:
    for _ in range(steps):
        state = cabin.advance(state, BUNK, seconds / steps, **conditions)
    return state


def test_is_one_long_step_as_good_as_many_short_ones():
    """1e-9: the step is exact, so halving it changes nothing."""
    once, often = stepped(1, 3600.0, **HOT), stepped(720, 3600.0, **HOT)
    for name in ("air_C", "mass_C", "humidity_ratio_kg_per_kg"):
        assert getattr(once, name) == pytest.approx(getattr(often, name), rel=1e-9), name


def test_does_the_step_agree_with_the_plain_equations_written_down_again():
    """A thousand explicit steps of a tenth of a second, 0.01 K, their own error."""
    air_C, mass_C = START.air_C, START.mass_C
    for _ in range(1000):
        leak = BUNK.leak_m3_per_s / air.specific_volume_m3_per_kg(36.0, 0.012) * (1006.0 + 0.012 * 1860.0)
        into_air = (
            (BUNK.air_to_outside_W_per_K + leak) * (36.0 - air_C)
            + BUNK.air_to_mass_W_per_K * (mass_C - air_C)
            + 125.0 * (14.0 - air_C)
            + 0.2 * 350.0
            + 70.0
        )
        into_mass = (
            BUNK.air_to_mass_W_per_K * (air_C - mass_C)
            + BUNK.mass_to_outside_W_per_K * (36.0 - mass_C)
            + 0.8 * 350.0
        )
        air_C += 0.1 * into_air / BUNK.air_capacity_J_per_K
        mass_C += 0.1 * into_mass / BUNK.mass_capacity_J_per_K
    made = cabin.advance(START, BUNK, 100.0, **HOT)
    assert made.air_C == pytest.approx(air_C, abs=0.01)
    assert made.mass_C == pytest.approx(mass_C, abs=0.01)


def test_does_the_settled_bunk_balance_its_heat():
    """What comes in goes out, 1e-6 W."""
    end = settled(BUNK, outside_C=36.0, sun_W=350.0, supply_W_per_K=125.0, supply_C=14.0)
    leak = BUNK.leak_m3_per_s / air.specific_volume_m3_per_kg(36.0, 0.01) * (1006.0 + 0.01 * 1860.0)
    through = (BUNK.air_to_outside_W_per_K + leak) * (36.0 - end.air_C)
    through += BUNK.mass_to_outside_W_per_K * (36.0 - end.mass_C)
    assert through + 350.0 == pytest.approx(125.0 * (end.air_C - 14.0), abs=1e-6)


def test_does_water_only_come_from_people_and_air_and_leave_by_air_and_drain():
    sealed = replace(BUNK, leak_m3_per_s=0.0)
    quiet = HOT | {"condensate_kg_per_s": 0.0}
    made = cabin.advance(START, sealed, 600.0, **quiet)
    gained = (made.humidity_ratio_kg_per_kg - START.humidity_ratio_kg_per_kg) * BUNK.air_mass_kg
    assert gained == pytest.approx(600.0 * 35.0 / air.VAPORISATION_AT_0_C_J_PER_KG, rel=1e-9)
    dried = cabin.advance(START, sealed, 600.0, **(quiet | {"condensate_kg_per_s": 5e-5}))
    assert (
        made.humidity_ratio_kg_per_kg - dried.humidity_ratio_kg_per_kg
    ) * BUNK.air_mass_kg == pytest.approx(0.03)


def test_does_an_empty_closed_bunk_become_like_the_air_outside():
    end = settled(BUNK, outside_C=12.0)
    assert end.air_C == pytest.approx(12.0, abs=1e-9)
    assert end.mass_C == pytest.approx(12.0, abs=1e-9)
    assert end.humidity_ratio_kg_per_kg == pytest.approx(0.01, abs=1e-9)


def test_do_air_and_mass_come_together_where_nothing_leads_outside():
    """Energy stays: both end at the mean weighted by capacity; 1e-3 K, for a trace leads outside."""
    closed = replace(BUNK, leak_m3_per_s=0.0, air_to_outside_W_per_K=0.0, mass_to_outside_W_per_K=0.0)
    made = cabin.advance(START, closed, 6 * 3600.0, 0.0, 0.01)
    mean = (12e3 * 38.0 + 140e3 * 33.0) / 152e3
    assert made.air_C == pytest.approx(mean, abs=1e-3)
    assert made.mass_C == pytest.approx(mean, abs=1e-3)


def test_does_an_open_curtain_let_the_heat_of_the_cab_in():
    shut, opened = (
        settled(BUNK, 32.0, curtain_open=share, cab_C=45.0, supply_W_per_K=125.0) for share in (0.0, 1.0)
    )
    assert opened.air_C > shut.air_C + 3.0


def test_do_sun_people_and_warmth_outside_each_warm_the_bunk():
    base = settled(BUNK, 30.0).air_C
    assert settled(BUNK, 30.0, sun_W=300.0).air_C > base
    assert settled(BUNK, 30.0, occupants=cabin.people(2, 26.0)).air_C > base
    assert settled(BUNK, 33.0).air_C > base
    assert settled(BUNK, 30.0, other_heat_W=-300.0).air_C < base


def test_does_cold_air_act_within_minutes_and_the_walls_within_hours():
    """Common practice, no source: air follows at once, a bunk feels cool only when walls and bedding are."""
    soaked = cabin.CabinState(45.0, 45.0, 0.012)
    after = [cabin.advance(soaked, BUNK, 60.0 * minutes, **HOT) for minutes in (5, 120)]
    assert after[0].air_C < 37.0
    assert after[0].mass_C > 43.0
    assert after[1].mass_C < 36.0


def test_do_people_give_less_sensible_heat_the_warmer_it_is_but_never_less_than_nothing():
    made = cabin.people(np.array([1, 1, 1, 2]), np.array([20.0, 30.0, 60.0, 24.0]))
    total = made.sensible_W + made.latent_W
    np.testing.assert_allclose(total, [105.0, 105.0, 105.0, 210.0])
    assert made.sensible_W[0] > made.sensible_W[1] > made.sensible_W[2] == 0.0


def test_do_many_bunks_side_by_side_do_what_each_does_alone():
    spread = replace(BUNK, mass_to_outside_W_per_K=np.array([20.0, 40.0, 60.0]))
    many = cabin.advance(START, spread, 900.0, **HOT)
    for place, conductance in enumerate((20.0, 40.0, 60.0)):
        alone = cabin.advance(START, replace(BUNK, mass_to_outside_W_per_K=conductance), 900.0, **HOT)
        assert many.air_C[place] == pytest.approx(alone.air_C, rel=1e-12)
        assert np.ndim(alone.air_C) == 0
