"""Drive: constant power in, switched legs out, checked against waves sampled edge by edge."""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.physics import drive
from parked_hvac.physics.drive import DriveParameters

DRIVE = DriveParameters(carrier_Hz=7200.0, minimum_voltage_V=9.0, common_duty=0.45)
SUPPLY_V = 12.4
MODULATION = 0.3
OPEN = np.inf


def sampled_legs(common: float, modulation: float, revolutions: int = 400, per_period: int = 2000):
    """Three legs, high or low at each instant, from duties that turn and pulses centred in their period."""
    angle = 2 * np.pi * (np.arange(revolutions) + 0.5) / revolutions
    ramp = np.abs(2 * (np.arange(per_period) + 0.5) / per_period - 1)
    phase = angle[None, :] + 2 * np.pi / 3 * np.arange(3)[:, None]
    duty = common + modulation / np.sqrt(3) * np.cos(phase)
    return (ramp[None, None, :] < duty[:, :, None]).reshape(3, -1).astype(float)


LEGS = sampled_legs(0.45, MODULATION)
# The samples cut a period into 2000 parts and a revolution into 400: about 1e-3 of the supply remains.
SAMPLED = {"abs": 0.02}


def test_does_the_drive_take_its_power_at_any_voltage_above_the_minimum():
    volts = np.linspace(9.0, 16.0, 50)
    np.testing.assert_allclose(drive.input_current_A(volts, 450.0, 9.0) * volts, 450.0, rtol=1e-14)


def test_is_the_current_without_a_jump_and_falling_to_nothing_below_the_minimum():
    below, at, above = drive.input_current_A(np.array([9.0 - 1e-9, 9.0, 9.0 + 1e-9]), 450.0, 9.0)
    assert below == pytest.approx(at, rel=1e-8)
    assert above == pytest.approx(at, rel=1e-8)
    assert drive.input_current_A(0.0, 450.0, 9.0) == 0.0


def test_is_the_input_slope_the_derivative():
    step = 1e-6
    at = np.concatenate([np.linspace(1.0, 8.9, 40), np.linspace(9.1, 16.0, 40)])
    rise = drive.input_current_A(at + step, 450.0, 9.0) - drive.input_current_A(at - step, 450.0, 9.0)
    np.testing.assert_allclose(rise / (2 * step), drive.input_slope_S(at, 450.0, 9.0), atol=1e-6)


def test_does_the_drive_take_more_than_it_gives_and_nothing_at_rest():
    power = drive.input_power_W(np.array([0.0, 200.0, 500.0]), DRIVE)
    assert power[0] == 0.0
    assert np.all(power[1:] > [200.0, 500.0])


def test_does_each_terminal_show_the_mean_and_rms_of_its_sampled_leg():
    for wave, leg in zip(drive.terminal_waveform(SUPPLY_V, DRIVE, MODULATION), LEGS, strict=True):
        assert wave.mean_V == pytest.approx(SUPPLY_V * leg.mean(), **SAMPLED)
        assert wave.ac_rms_V == pytest.approx(SUPPLY_V * leg.std(), **SAMPLED)
        assert wave.frequency_Hz == 7200.0


@pytest.mark.parametrize("windings", [(0.1, 0.1, 0.1), (0.1, 0.1, 0.2), (0.05, 0.3, 0.1)])
def test_does_a_dead_leg_follow_the_sampled_star_point(windings):
    waves = drive.terminal_waveform(
        SUPPLY_V, DRIVE, MODULATION, leg_alive=(True, False, True), winding_ohm=windings
    )
    conductance = 1 / np.array([windings[0], windings[2]])
    star = SUPPLY_V * (conductance @ LEGS[[0, 2]]) / conductance.sum()
    assert waves[1].mean_V == pytest.approx(star.mean(), **SAMPLED)
    assert waves[1].ac_rms_V == pytest.approx(star.std(), **SAMPLED)
    assert waves[0].ac_rms_V == pytest.approx(SUPPLY_V * LEGS[0].std(), **SAMPLED)


def test_does_a_dead_leg_stand_at_nothing_with_the_motor_unplugged():
    waves = drive.terminal_waveform(
        SUPPLY_V, DRIVE, MODULATION, leg_alive=(False, True, True), winding_ohm=(OPEN, OPEN, OPEN)
    )
    assert waves[0].mean_V == 0.0
    assert waves[0].frequency_Hz == 0.0
    assert waves[1].mean_V == waves[2].mean_V == pytest.approx(SUPPLY_V * 0.45)


def test_does_a_dead_leg_with_an_open_winding_stand_at_nothing():
    waves = drive.terminal_waveform(
        SUPPLY_V, DRIVE, MODULATION, leg_alive=(False, True, True), winding_ohm=(OPEN, 0.1, 0.1)
    )
    assert waves[0].mean_V == 0.0


def test_does_an_open_winding_hide_behind_legs_that_switch():
    whole = drive.terminal_waveform(SUPPLY_V, DRIVE, MODULATION)
    broken = drive.terminal_waveform(SUPPLY_V, DRIVE, MODULATION, winding_ohm=(0.1, OPEN, 0.1))
    for one, other in zip(whole, broken, strict=True):
        assert one.mean_V == other.mean_V
        assert one.ac_rms_V == other.ac_rms_V


def test_does_a_drive_at_rest_show_nothing_and_each_draw_its_own():
    waves = drive.terminal_waveform(
        SUPPLY_V,
        DRIVE,
        MODULATION,
        running=np.array([False, True, True]),
        leg_alive=(True, np.array([True, True, False]), True),
    )
    np.testing.assert_array_equal(waves[0].frequency_Hz, [0.0, 7200.0, 7200.0])
    np.testing.assert_array_equal(waves[1].mean_V > 0, [False, True, True])
    assert waves[1].ac_rms_V[2] < waves[1].ac_rms_V[1]


def test_is_the_line_wave_the_difference_of_two_sampled_legs():
    line = drive.line_waveform(SUPPLY_V, DRIVE, MODULATION)
    difference = SUPPLY_V * (LEGS[0] - LEGS[1])
    assert line.mean_V == pytest.approx(difference.mean(), **SAMPLED)
    assert line.ac_rms_V == pytest.approx(difference.std(), **SAMPLED)
    assert line.frequency_Hz == 14400.0
    assert drive.line_waveform(SUPPLY_V, DRIVE, MODULATION, running=False).ac_rms_V == 0.0


@pytest.mark.parametrize("dead", [0, 1, 2])
@pytest.mark.parametrize("between", [(0, 1), (1, 2), (2, 0)])
@pytest.mark.parametrize("windings", [(0.1, 0.1, 0.1), (0.1, 0.2, 0.4), (OPEN, OPEN, OPEN)])
def test_is_the_line_wave_of_a_dead_leg_that_of_the_sampled_star_point(dead, between, windings):
    alive = tuple(leg != dead for leg in range(3))
    line = drive.line_waveform(
        SUPPLY_V, DRIVE, MODULATION, between=between, leg_alive=alive, winding_ohm=windings
    )
    legs = SUPPLY_V * np.array(LEGS, dtype=float)
    feeding = np.array([0.0 if leg == dead else 1.0 / windings[leg] for leg in range(3)])
    legs[dead] = feeding @ legs / feeding.sum() if feeding.sum() else 0.0
    sampled = legs[between[0]] - legs[between[1]]
    assert line.mean_V == pytest.approx(sampled.mean(), **SAMPLED)
    assert line.ac_rms_V == pytest.approx(sampled.std(), **SAMPLED)
