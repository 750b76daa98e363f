"""Do the fast polynomials say what the properties themselves say?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.physics import refrigerant
from parked_hvac.physics import refrigerant_tables as tables

RNG = np.random.default_rng(3)
EVAPORATING, CONDENSING = RNG.uniform(-50.0, 35.0, 2000), RNG.uniform(0.0, 92.0, 2000)
SUPERHEAT = RNG.uniform(0.0, 70.0, 2000)
APART = CONDENSING > EVAPORATING + 8.0
EVAPORATING, CONDENSING, SUPERHEAT = EVAPORATING[APART], CONDENSING[APART], SUPERHEAT[APART]
CYCLE = refrigerant.cycle(EVAPORATING, CONDENSING, SUPERHEAT, 5.0, 0.65)
LOW, HIGH = tables.low_side(EVAPORATING), tables.high_side(CONDENSING)


def test_is_the_pressure_kept():
    """1e-4, a tenth of a mark on the finest gauge."""
    np.testing.assert_allclose(np.exp(LOW.ln_kPa), CYCLE.evaporating_kPa, rtol=1e-4)
    np.testing.assert_allclose(np.exp(HIGH.ln_kPa), CYCLE.condensing_kPa, rtol=1e-4)


def test_is_the_suction_density_kept():
    """0.3 %, below the spread of one compressor's displacement to another's."""
    thinner = SUPERHEAT * (LOW.thinner_per_K + SUPERHEAT * LOW.thinner_per_K2)
    np.testing.assert_allclose(np.exp(LOW.ln_density + thinner), CYCLE.suction_density_kg_per_m3, rtol=3e-3)


def test_is_the_cooling_kept():
    """0.3 kJ/kg of 150."""
    suction = LOW.vapour_J_per_kg + SUPERHEAT * (LOW.hotter_J_per_kg_K + SUPERHEAT * LOW.hotter_J_per_kg_K2)
    liquid = HIGH.liquid_J_per_kg - 5.0 * (HIGH.liquid_J_per_kg_K - 5.0 * HIGH.liquid_J_per_kg_K2)
    np.testing.assert_allclose(suction - liquid, CYCLE.cooling_J_per_kg, atol=300.0, rtol=0)


def test_is_the_work_kept():
    """0.7 %, worst at the corner of a warm evaporator; the isentropic efficiency is known no better."""
    ln_ratio = np.log(CYCLE.pressure_ratio)
    found = ln_ratio * tables.work_per_ln_ratio_J_per_kg(EVAPORATING, ln_ratio, SUPERHEAT)
    np.testing.assert_allclose(found, CYCLE.isentropic_work_J_per_kg, rtol=7e-3)


def test_is_the_discharge_temperature_kept():
    """1.5 K up to 150 °C, where any thermal switch has long opened."""
    over = LOW.vapour_J_per_kg + SUPERHEAT * (LOW.hotter_J_per_kg_K + SUPERHEAT * LOW.hotter_J_per_kg_K2)
    over = over + CYCLE.work_J_per_kg - HIGH.vapour_J_per_kg
    slope = HIGH.hotter_K_per_J_per_kg + over * (
        HIGH.hotter_K_per_J_per_kg_2 + over * HIGH.hotter_K_per_J_per_kg_3
    )
    real = (CYCLE.discharge_C < 150.0) & (CONDENSING < 85.0)
    np.testing.assert_allclose((CONDENSING + over * slope)[real], CYCLE.discharge_C[real], atol=1.5, rtol=0)


@pytest.mark.parametrize("celsius", [-50.0, -3.0, 35.0])
def test_do_a_float_and_an_array_give_the_same(celsius):
    for side in (tables.low_side, tables.high_side):
        for name, value in side(celsius)._asdict().items():
            assert isinstance(value, float)
            assert getattr(side(np.array([celsius])), name)[0] == pytest.approx(value, rel=1e-12)


def test_are_the_slopes_those_of_the_lines():
    """Central differences, 1e-6."""
    above, below = tables.low_side(EVAPORATING + 1e-3), tables.low_side(EVAPORATING - 1e-3)
    np.testing.assert_allclose((above.ln_kPa - below.ln_kPa) / 2e-3, LOW.ln_kPa_per_K, rtol=1e-6)
    np.testing.assert_allclose((above.ln_density - below.ln_density) / 2e-3, LOW.ln_density_per_K, rtol=1e-6)
    above, below = tables.high_side(CONDENSING + 1e-3), tables.high_side(CONDENSING - 1e-3)
    np.testing.assert_allclose((above.ln_kPa - below.ln_kPa) / 2e-3, HIGH.ln_kPa_per_K, rtol=1e-6)
    slope = (above.liquid_J_per_kg - below.liquid_J_per_kg) / 2e-3
    np.testing.assert_allclose(slope, HIGH.liquid_J_per_kg_K, rtol=1e-6)
