"""Alternator: a current that only falls as the voltage rises, within its limit."""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.physics import alternator
from parked_hvac.physics.alternator import AlternatorParameters

SOUND = AlternatorParameters(setpoint_V=14.2, max_current_A=150.0)
VOLTS = np.linspace(0.0, 17.0, 3401)


@pytest.mark.parametrize("speed", [0.0, 0.2, 0.35, 0.7, 1.0, 1.5])
def test_does_current_fall_with_voltage_and_stay_within_its_limit(speed):
    current = alternator.current_A(VOLTS, SOUND, speed_fraction=speed)
    limit = alternator.available_current_A(SOUND, speed)
    assert np.all(np.diff(current) <= 1e-9)
    assert np.all((current >= 0) & (current <= limit + 1e-9))
    assert current[0] == pytest.approx(limit, abs=1e-9)
    assert current[-1] == pytest.approx(0.0, abs=1e-9)


def test_is_the_slope_the_derivative():
    step = 1e-6
    around = np.linspace(13.0, 15.0, 801)
    rise = alternator.current_A(around + step, SOUND) - alternator.current_A(around - step, SOUND)
    # 250 S and an error of the second order: 1e-3 S is far above it and far below a slope that matters.
    np.testing.assert_allclose(rise / (2 * step), alternator.slope_S(around, SOUND), atol=1e-3)


def test_does_the_regulator_hold_its_voltage_at_half_load():
    at = np.interp(-75.0, -alternator.current_A(VOLTS, SOUND), VOLTS)
    assert at == pytest.approx(14.2 - 75.0 * 0.004, abs=0.01)  # droop of the regulator's own resistance


def test_is_there_less_at_idle_and_nothing_below_cut_in():
    limits = alternator.available_current_A(SOUND, np.array([0.0, 0.15, 0.35, 1.0, 2.0]))
    np.testing.assert_allclose(limits, [0.0, 0.0, 75.0, 150.0, 150.0])


def test_does_a_slipping_belt_leave_less_at_idle_than_at_cruise():
    slipping = AlternatorParameters(setpoint_V=14.2, max_current_A=150.0, slip_factor=0.5)
    idle, cruise = alternator.available_current_A(slipping, np.array([0.35, 1.0]))
    assert 0 < idle < 0.5 * 75.0
    assert idle / 75.0 < cruise / 150.0 < 1.0


def test_does_a_dead_alternator_give_nothing():
    dead = AlternatorParameters(setpoint_V=14.2, max_current_A=150.0, output_factor=np.array([0.0, 1.0]))
    current = alternator.current_A(12.5, dead)
    assert current[0] == 0.0
    assert current[1] > 140.0
    assert alternator.slope_S(14.0, dead)[0] == 0.0
