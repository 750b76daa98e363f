"""Motors: every watt taken is a watt of heat or of work, and the slopes are the derivatives."""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.physics import motor
from parked_hvac.physics.motor import FanParameters

VOLTS = np.linspace(0.0, 15.0, 301)
BLOWER = {
    "resistance_ohm": 0.3,
    "constant_V_per_rad_s": 0.03,
    "fan_torque_coefficient": 2e-6,
    "friction_torque_Nm": 0.05,
}
FAN = FanParameters(power_W=110.0, start_command_V=1.5, full_command_V=6.5, minimum_supply_V=9.0)


def test_does_the_blower_take_what_it_heats_and_what_it_turns():
    speed = motor.brushed_speed_rad_s(VOLTS, **BLOWER)
    current = motor.brushed_current_A(VOLTS, **BLOWER)
    turning = speed > 0
    work_W = (0.05 + 2e-6 * speed**2) * speed
    heat_W = current**2 * 0.3
    np.testing.assert_allclose((VOLTS * current)[turning], (work_W + heat_W)[turning], rtol=1e-12)


def test_does_the_blower_stand_still_below_the_voltage_that_beats_its_friction():
    breakaway_V = 0.05 * 0.3 / 0.03
    below = motor.brushed_speed_rad_s(np.array([0.0, 0.99 * breakaway_V]), **BLOWER)
    assert np.all(below == 0.0)
    assert motor.brushed_speed_rad_s(1.01 * breakaway_V, **BLOWER) > 0
    assert motor.brushed_current_A(0.4, **BLOWER) == pytest.approx(0.4 / 0.3)


def test_does_a_seized_blower_take_the_current_of_its_winding_alone():
    seized = {**BLOWER, "friction_torque_Nm": 1e9}
    np.testing.assert_allclose(motor.brushed_current_A(VOLTS, **seized), VOLTS / 0.3, rtol=1e-14)
    np.testing.assert_allclose(motor.brushed_slope_S(VOLTS, **seized), 1 / 0.3, rtol=1e-14)


def test_do_current_and_speed_rise_with_voltage_once_it_turns():
    above = VOLTS[VOLTS > 0.5]
    assert np.all(np.diff(motor.brushed_current_A(above, **BLOWER)) > 0)
    assert np.all(np.diff(motor.brushed_speed_rad_s(above, **BLOWER)) > 0)


def test_does_worn_friction_cost_current_and_speed():
    worn = {**BLOWER, "friction_torque_Nm": 0.25}
    assert motor.brushed_current_A(13.0, **worn) > motor.brushed_current_A(13.0, **BLOWER) + 3.0
    assert motor.brushed_speed_rad_s(13.0, **worn) < motor.brushed_speed_rad_s(13.0, **BLOWER)


def test_is_the_blower_slope_the_derivative():
    step = 1e-6
    at = np.linspace(0.6, 15.0, 100)
    rise = motor.brushed_current_A(at + step, **BLOWER) - motor.brushed_current_A(at - step, **BLOWER)
    np.testing.assert_allclose(rise / (2 * step), motor.brushed_slope_S(at, **BLOWER), atol=1e-6)


def test_does_a_blower_without_a_fan_run_at_its_ideal_speed():
    free = {**BLOWER, "fan_torque_coefficient": 0.0, "friction_torque_Nm": 0.0}
    assert motor.brushed_speed_rad_s(12.0, **free) == pytest.approx(12.0 / 0.03)
    assert motor.brushed_current_A(12.0, **free) == pytest.approx(0.0, abs=1e-12)


def test_does_the_fan_take_constant_power_and_its_standby():
    at = np.array([10.0, 12.0, 14.0])
    current = motor.fan_current_A(at, 6.5, FAN)
    np.testing.assert_allclose((current - 0.02) * at, 110.0, rtol=1e-6)  # the gate is open to 2e-9 at 10 V


def test_does_the_command_start_the_fan_and_run_it_up():
    command = np.array([0.0, 1.49, 1.5, 4.0, 6.5, 9.0])
    speed = motor.fan_speed_fraction(12.5, command, FAN)
    np.testing.assert_allclose(speed, [0.0, 0.0, 0.3, 0.65, 1.0, 1.0], rtol=1e-9)
    power = motor.fan_current_A(12.5, command, FAN) * 12.5 - 0.02 * 12.5
    np.testing.assert_allclose(power, 110.0 * speed**3, atol=1e-6)


def test_is_the_fan_off_below_its_minimum_supply():
    assert motor.fan_current_A(8.0, 6.5, FAN) < 1e-6
    assert motor.fan_speed_fraction(8.0, 6.5, FAN) < 1e-6
    assert motor.fan_current_A(0.0, 6.5, FAN) < 1e-6


def test_does_a_seized_fan_stand_and_take_little():
    seized = FanParameters(
        power_W=110.0,
        start_command_V=1.5,
        full_command_V=6.5,
        minimum_supply_V=9.0,
        health=np.array([1.0, 0.0]),
    )
    speed = motor.fan_speed_fraction(12.5, 6.5, seized)
    current = motor.fan_current_A(12.5, 6.5, seized)
    assert speed[1] == 0.0
    assert 0.02 < current[1] < 0.2 * current[0]
    assert motor.fan_current_A(12.5, 0.0, seized)[1] == pytest.approx(0.02)


def test_is_the_fan_slope_the_derivative():
    step = 1e-6
    at = np.linspace(8.0, 15.0, 701)
    rise = motor.fan_current_A(at + step, 5.0, FAN) - motor.fan_current_A(at - step, 5.0, FAN)
    np.testing.assert_allclose(rise / (2 * step), motor.fan_slope_S(at, 5.0, FAN), atol=1e-5)
