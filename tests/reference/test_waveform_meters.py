"""Do switched voltages read on a meter as closed forms, a circuit simulator and the trade say?

Outside values: dmm_pulse.json, dmm_half_bridge.json, mot_terminals.json.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from parked_hvac.physics import drive
from parked_hvac.physics.drive import DriveParameters
from parked_hvac.physics.waveform import SINE_FORM_FACTOR, PulseTrain

AUTHORITIES = Path(__file__).parent / "authorities"


def value_of(name: str):
    return json.loads((AUTHORITIES / f"{name}.json").read_text(encoding="utf-8"))["value"]


def test_is_an_averaging_meter_off_by_the_published_percentages():
    """dmm_pulse.json: errors printed to a hundredth of a percent."""
    pulse = value_of("dmm_pulse")
    assert pytest.approx(pulse["form_factor"], abs=5e-8) == SINE_FORM_FACTOR
    for duty, error in pulse["examples"].items():
        wave = PulseTrain(0.0, 1.0, float(duty), 1000.0)
        assert 100 * (wave.average_responding_V / wave.rms_V - 1) == pytest.approx(
            error["err_dc_pct"], abs=0.006
        )
        off = 100 * (wave.ac_average_responding_V / wave.ac_rms_V - 1)
        assert off == pytest.approx(error["err_ac_pct"], abs=0.006)


def test_is_an_averaging_meter_right_at_the_published_duties_alone():
    """dmm_pulse.json: duties printed to five digits, slopes of a few per unit of duty."""
    pulse = value_of("dmm_pulse")
    for duty in pulse["zero_error_D_ac"]:
        wave = PulseTrain(0.0, 1.0, duty, 1000.0)
        assert wave.ac_average_responding_V == pytest.approx(wave.ac_rms_V, rel=2e-5)
    wave = PulseTrain(0.0, 1.0, pulse["zero_error_D_dc"], 1000.0)
    assert wave.average_responding_V == pytest.approx(wave.rms_V, rel=2e-5)


def test_does_a_half_bridge_read_as_in_a_circuit_simulator():
    """dmm_half_bridge.json: ngspice; 0.2 %, of which its 1 mΩ switches and 20 ns edges take half."""
    bridge = value_of("dmm_half_bridge")
    wave = PulseTrain(0.0, bridge["supply_V"], bridge["duty"], bridge["frequency_Hz"])
    assert wave.mean_V == pytest.approx(bridge["v_avg"], rel=0.002)
    assert wave.rms_V == pytest.approx(bridge["v_rms"], rel=0.002)


def test_does_a_drive_set_to_the_trades_case_show_the_trades_figures_on_each_terminal():
    """mot_terminals.json: about 5 V and about 9 kHz, common practice; half a volt and half a kilohertz."""
    told = value_of("mot_terminals")
    p = DriveParameters(carrier_Hz=9000.0, minimum_voltage_V=9.0, common_duty=0.4)
    supply_V = np.array([12.0, 12.5, 13.0])
    for wave in drive.terminal_waveform(supply_V, p, modulation=0.25):
        np.testing.assert_allclose(wave.mean_V, told["dc_V"], atol=0.5)
        np.testing.assert_allclose(wave.frequency_Hz / 1000.0, told["frequency_kHz"], atol=0.5)
