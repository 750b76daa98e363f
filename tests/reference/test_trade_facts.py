"""Does the truck, set to such a case, show what the trade says it shows?

Outside values: trade_*.json, common practice with no source. They check the model; the training truck's own
limits stand in data/rig/spec-sheet.toml and are its own. (What a drive shows on its terminals: test_waveform_meters.py.)
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from parked_hvac.instruments import meter
from tests.rig.trucks import cool, drive, truck, volts

AUTHORITIES = Path(__file__).parent / "authorities"


def value_of(name: str):
    return json.loads((AUTHORITIES / f"{name}.json").read_text(encoding="utf-8"))["value"]


@pytest.mark.parametrize("bank", ["G1", "G2"])
def test_does_a_charged_bank_rest_above_the_trades_limit_and_a_discharged_one_below(bank):
    """trade_rested_banks.json."""
    limit_V = value_of("trade_rested_banks")["at_least_V"]
    rested = {"engine_off_h": 24.0}
    assert volts(truck(aux_charge=0.95, start_charge=0.95, **rested), f"{bank}+", f"{bank}-") >= limit_V
    assert volts(truck(aux_charge=0.4, start_charge=0.4, **rested), f"{bank}+", f"{bank}-") < limit_V


def test_do_both_banks_charge_in_the_trades_band_and_stay_together():
    """trade_charging.json, on a mild day, with banks nearly full and the isolator closed."""
    told = value_of("trade_charging")
    made = drive(truck(outside_C=20.0, aux_charge=0.97, start_charge=0.95), 1200.0)
    for bank in ("G1", "G2"):
        assert told["low_V"] <= volts(made, f"{bank}+", f"{bank}-") <= told["high_V"]
    assert abs(volts(made, "G1+", "G2+")) < told["apart_V"]


@pytest.mark.parametrize("fault", ["isolator_stuck_open", "lug_corroded_g2_positive"])
def test_do_banks_apart_while_charging_point_at_isolator_or_cables(fault):
    """trade_charging.json: more than half a volt."""
    made = drive(truck(fault, aux_charge=0.5), 60.0)
    assert volts(made, "G1+", "G2+") > value_of("trade_charging")["apart_V"]


def asked_to_cool_while_charging(made, seconds):
    made.turn_blower(5)
    made.turn_temperature(16.0)
    made.press_parked_cooling(True)
    return drive_on(made, seconds)


def drive_on(made, seconds):
    made.set_key("engine")
    made.advance(seconds)
    return made


def test_does_the_auxiliary_bank_fall_into_the_trades_band_once_the_sense_fuse_is_pulled():
    """trade_sense_fuse.json: a bank two thirds full, the compressor on it, hardly charged yet."""
    told = value_of("trade_sense_fuse")
    made = asked_to_cool_while_charging(truck(aux_charge=0.65, outside_C=30.0), 20.0)
    made.pull_fuse("F7")
    made.advance(told["within_s"])
    assert told["low_V"] <= volts(made, "G2+", "G2-") <= told["high_V"]


def test_is_it_a_little_higher_with_surface_charge_and_unchanged_where_it_does_not_open():
    """trade_sense_fuse.json."""
    told = value_of("trade_sense_fuse")
    charged = asked_to_cool_while_charging(truck(aux_charge=0.65, outside_C=30.0), 600.0)
    charged.pull_fuse("F7")
    charged.advance(told["within_s"])
    assert told["high_V"] < volts(charged, "G2+", "G2-") < told["high_V"] + 0.7  # below a charging voltage
    stuck = asked_to_cool_while_charging(
        truck("isolator_stuck_closed", aux_charge=0.65, outside_C=30.0), 600.0
    )
    before_V = volts(stuck, "G2+", "G2-")
    stuck.pull_fuse("F7")
    stuck.advance(told["within_s"])
    assert abs(volts(stuck, "G2+", "G2-") - before_V) < told["unchanged_V"]


def test_does_the_isolators_signal_follow_the_start_bank_and_its_ground_the_frame():
    """trade_isolator_wires.json."""
    told = value_of("trade_isolator_wires")
    made = drive(truck(), 60.0)
    assert abs(volts(made, "G1+", "X0") - volts(made, "Q1.S", "X0")) < told["signal_within_V"]
    assert abs(volts(made, "Q1.G", "X0")) < told["ground_near_zero_V"]
    assert (
        volts(drive(truck("isolator_ground_lead_corroded"), 60.0), "Q1.G", "X0") > told["ground_near_zero_V"]
    )


@pytest.mark.parametrize("fuse", ["F13.2", "F14.2", "F15.2"])
def test_are_supplies_at_the_fuses_near_the_battery(fuse):
    """trade_fuse_supplies.json, at a low blower step; the voltage is against the bank's own negative."""
    made = truck()
    made.turn_blower(1)
    made.turn_temperature(16.0)
    made.press_parked_cooling(True)
    made.advance(120.0)
    lost_V = volts(made, "G2+", "G2-") - volts(made, fuse, "G2-")
    assert 0.0 < lost_V < value_of("trade_fuse_supplies")["within_V"]


def test_is_the_thermal_switch_closed_when_off():
    """trade_thermal_switch.json: to a continuity check with its plug parted."""
    assert value_of("trade_thermal_switch")["state"] == "closed"
    made = truck()
    made.part("X34")
    assert meter.read(made, "ohms", "S1.1", "S1.2").values[0] < 1.0
    opened = truck("s1_open")
    opened.part("X34")
    assert meter.read(opened, "ohms", "S1.1", "S1.2").words[0] == "OL"


@pytest.mark.parametrize("outside_C", [20.0, 30.0, 42.0])
def test_does_the_fan_command_stay_between_its_ends(outside_C):
    """trade_fan_command.json: running, and standing."""
    told = value_of("trade_fan_command")
    made = cool(truck(outside_C=outside_C, bunk_C=outside_C), 0.0)
    seen: list[float] = []
    made.advance(300.0, watch=lambda t: seen.append(volts(t, "M3.C", "M3.-")))
    assert min(seen) >= told["low_V"] - 1e-6
    assert 1.0 < max(seen) <= told["high_V"]
