"""Does the refrigerant circuit keep energy and water, and settle, under any conditions?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.physics import air, refrigerant, refrigerant_tables, unit
from parked_hvac.physics.scalar import circuit_balance
from tests.physics.circuits import UNIT, conditions, draws, replace, run

HARSH = draws(1000, seed=11)
SETTLED = run(**HARSH, steps=40)
AT_END = SETTLED.condensing_C > 92.999  # where the tables end; the truck trips long before


def test_does_the_condenser_give_off_what_evaporator_and_compressor_put_in():
    """0.01 W: the balance is solved, not stepped."""
    conductance = unit.condenser_conductance_W_per_K(
        UNIT, HARSH["condenser_fan_fraction"], HARSH["condenser_blockage"], HARSH["outside_C"]
    )
    given_off = conductance * (SETTLED.condensing_C - HARSH["outside_C"])
    np.testing.assert_allclose(given_off[~AT_END], SETTLED.condenser_W[~AT_END], atol=0.01, rtol=0)
    np.testing.assert_allclose(SETTLED.condenser_W, SETTLED.cooling_W + SETTLED.compressor_shaft_W)
    assert AT_END.mean() < 0.5


def test_does_the_compressor_carry_what_the_evaporator_boils():
    """Flow by displacement against flow by heat: 0.5 %, tabulated density against the equation of state."""
    p = UNIT
    well = ~AT_END & (SETTLED.evaporating_C > -45.0) & (SETTLED.evaporating_C < 34.0)
    well &= SETTLED.discharge_kPa > 1.05 * SETTLED.suction_kPa
    suction = refrigerant.vapour(
        (SETTLED.evaporating_C + SETTLED.superheat_K)[well], SETTLED.suction_kPa[well]
    )
    ratio = (SETTLED.discharge_kPa / SETTLED.suction_kPa)[well]
    filled = p.volumetric_efficiency * (1.0 + p.clearance - p.clearance * ratio ** (1 / 1.1))
    swept = HARSH["speed_rpm"][well] / 60.0 * p.displacement_m3
    np.testing.assert_allclose(
        swept * suction.density_kg_per_m3 * filled, SETTLED.refrigerant_kg_per_s[well], rtol=5e-3
    )


def test_does_the_air_lose_exactly_the_heat_and_water_that_are_reported():
    dry = SETTLED.air_flow_m3_per_s / air.specific_volume_m3_per_kg(
        HARSH["bunk_C"], HARSH["bunk_humidity_ratio"]
    )
    before = air.enthalpy_J_per_kg(HARSH["bunk_C"], HARSH["bunk_humidity_ratio"])
    after = air.enthalpy_J_per_kg(SETTLED.air_off_C, SETTLED.air_off_humidity_ratio)
    drained = SETTLED.condensate_kg_per_s * air.LIQUID_WATER_J_PER_KG_K * SETTLED.surface_C
    np.testing.assert_allclose(dry * (before - after) - drained, SETTLED.cooling_W, atol=1e-6, rtol=1e-9)
    lost = dry * (HARSH["bunk_humidity_ratio"] - SETTLED.air_off_humidity_ratio)
    np.testing.assert_allclose(lost, SETTLED.condensate_kg_per_s, atol=1e-12, rtol=1e-9)


def test_does_every_draw_stand_in_the_right_order():
    assert np.all(SETTLED.air_off_C <= HARSH["bunk_C"])
    assert np.all(SETTLED.air_off_C >= SETTLED.surface_C - 1e-9)
    assert np.all(SETTLED.evaporating_C <= np.maximum(SETTLED.surface_C, -60.0) + 1e-9)
    assert np.all(SETTLED.condensing_C > HARSH["outside_C"])
    assert np.all(SETTLED.latent_W >= 0)
    assert np.all(SETTLED.sensible_W >= 0)
    assert all(np.all(np.isfinite(getattr(SETTLED, name))) for name in SETTLED._fields)


def test_are_the_usual_steps_enough():
    """0.1 K in all but 1 % of conditions harsher than any truck's, and 0.001 K in all where trucks work."""
    usual = run(**HARSH)
    off = np.abs(usual.surface_C - SETTLED.surface_C) + np.abs(usual.condensing_C - SETTLED.condensing_C)
    assert np.mean(off > 0.1) < 0.01
    speed = np.linspace(1500.0, 4500.0, 7)[:, None]
    outside = np.linspace(15.0, 45.0, 7)
    speed, outside = (grid.ravel() for grid in np.broadcast_arrays(speed, outside))
    quick, long = run(speed_rpm=speed, outside_C=outside), run(speed_rpm=speed, outside_C=outside, steps=60)
    np.testing.assert_allclose(quick.surface_C, long.surface_C, atol=1e-3)
    np.testing.assert_allclose(quick.condensing_C, long.condensing_C, atol=1e-3)


def test_does_no_draw_swing_for_ever():
    """1e-6 K between 60 and 61 steps: with full steps back, one harsh draw in 400 would swing."""
    harsh = draws(4000, seed=1)
    even, odd = run(**harsh, steps=60), run(**harsh, steps=61)
    np.testing.assert_allclose(even.surface_C, odd.surface_C, atol=1e-6)
    np.testing.assert_allclose(even.condensing_C, odd.condensing_C, atol=1e-6)


def test_does_a_coil_that_touches_all_the_air_leave_it_saturated_at_its_own_temperature():
    """0.5 %: the fast form of the vapour pressure against the handbook's."""
    wide = replace(UNIT, evaporator_air_W_per_K=1e4)
    made = run(wide, bunk_humidity_ratio=0.015)
    assert made.air_off_C == pytest.approx(made.surface_C, abs=1e-6)
    assert air.relative_humidity(made.air_off_C, made.air_off_humidity_ratio) == pytest.approx(1.0, rel=0.005)


def test_does_each_kilogram_take_up_the_heat_of_the_textbook_cycle_short_of_charge_too():
    """0.3 %; the subcooling goes with the liquid: at 0.45 of the charge half of the evaporator is wetted."""
    made = run(charge_fraction=0.45)
    cycle = refrigerant.cycle(made.evaporating_C, made.condensing_C, made.superheat_K, 2.5, 0.65)
    assert made.cooling_W / made.refrigerant_kg_per_s == pytest.approx(cycle.cooling_J_per_kg, rel=0.003)
    assert made.discharge_C == pytest.approx(cycle.discharge_C, abs=1.0)


def test_does_a_start_from_an_earlier_answer_end_in_the_same_balance():
    """0.01 K: after a fan has died, five steps from the balance before."""
    before = run()
    after = run(condenser_fan_fraction=0.0, outside_C=24.0, guess=before)
    fresh = run(condenser_fan_fraction=0.0, outside_C=24.0, steps=60)
    assert after.condensing_C == pytest.approx(fresh.condensing_C, abs=0.01)
    assert after.surface_C == pytest.approx(fresh.surface_C, abs=0.01)


def test_does_a_draw_alone_give_what_it_gives_among_many():
    """1e-9: floats and arrays go through the same arithmetic but not the same exponential."""
    many = run(**HARSH)
    for place in (0, 17, 500, 999):
        alone = run(**{name: value[place] for name, value in HARSH.items()})
        column = run(**{name: value[place : place + 1] for name, value in HARSH.items()})
        for name in alone._fields:
            assert np.shape(getattr(alone, name)) == ()
            assert np.shape(getattr(column, name)) == (1,)
            assert getattr(alone, name) == pytest.approx(getattr(many, name)[place], rel=1e-6, abs=1e-9), name
            assert getattr(column, name)[0] == getattr(alone, name)


def test_do_parameters_vary_from_draw_to_draw():
    spread = replace(UNIT, displacement_m3=np.array([15e-6, 17e-6, 19e-6]))
    many = run(spread)
    assert np.all(np.diff(many.cooling_W) > 0)
    assert many.cooling_W[1] == pytest.approx(run().cooling_W, rel=1e-9)


def test_are_the_slopes_of_the_balance_close_to_its_differences(monkeypatch):
    """15 %: the Newton steps leave second-order parts out, and still close in fast."""
    attempt, seen = circuit_balance.attempt, {}

    def keep(k, circuit, surface, condensing):
        seen["circuit"] = circuit
        return attempt(k, circuit, surface, condensing)

    monkeypatch.setattr(circuit_balance, "attempt", keep)
    made = run()
    here, step = (float(made.surface_C), float(made.condensing_C)), 1e-3
    trial = attempt(refrigerant_tables.coefficients(), seen["circuit"], *here)
    for column, moved in enumerate(((here[0] + step, here[1]), (here[0], here[1] + step))):
        there = attempt(refrigerant_tables.coefficients(), seen["circuit"], *moved)
        measured = ((there.shortage_W - trial.shortage_W) / step, (there.surplus_W - trial.surplus_W) / step)
        assert trial.slopes_W_per_K[column] == pytest.approx(measured[0], rel=0.15)
        assert trial.slopes_W_per_K[2 + column] == pytest.approx(measured[1], rel=0.15)


def test_is_a_misspelt_condition_refused():
    with pytest.raises(AssertionError, match="misspelt"):
        conditions(speed=3000)
