"""Does the meter load, live-read, round and beep as meters do?

Authority files: dmm_loading.json, ckt_n1.json (loading), dmm_live_ohms.json, dmm_accuracy.json,
dmm_continuity.json, dmm_half_bridge.json (pulse width).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from parked_hvac.circuit import Resistor, VoltageSource
from parked_hvac.instruments import meter
from parked_hvac.instruments.ohmmeter import apparent_ohm
from parked_hvac.instruments.outcome import accuracy_limit
from parked_hvac.physics.waveform import PulseTrain
from tests.instruments.wired import WiredTruck

AUTHORITIES = Path(__file__).parent / "authorities"


def authority(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((AUTHORITIES / f"{name}.json").read_text(encoding="utf-8"))
    return found


@pytest.mark.parametrize(
    ("key", "source_ohm"), [("1k_10M_pct", 1e3), ("100k_10M_pct", 1e5), ("1M_10M_pct", 1e6)]
)
def test_does_the_meter_load_a_source_as_the_formula_says(key: str, source_ohm: float):
    """dmm_loading.json: a closed form printed to 3 digits, so half a digit of the third."""
    truck = WiredTruck([VoltageSource("E", "a", "0", 10.0), Resistor("R", "a", "b", source_ohm)])
    read_V = meter.sense(truck, "dc_volts", "b", "0")[0]
    assert 100.0 * (10.0 - read_V) / 10.0 == pytest.approx(authority("dmm_loading")["value"][key], abs=5e-4)


@pytest.mark.parametrize(("key", "lower_ohm"), [("loaded_by_10_Mohm", 1e6), ("ghost_on_10_Mohm", 1e15)])
def test_does_a_high_ohm_node_read_what_ngspice_finds(key: str, lower_ohm: float):
    """ckt_n1.json: 1e-4 V as stated there."""
    truck = WiredTruck(
        [
            VoltageSource("Vbat", "b", "0", 12.6),
            Resistor("R1", "b", "m", 1e6),
            Resistor("R2", "m", "0", lower_ohm),
        ]
    )
    assert meter.sense(truck, "dc_volts", "m", "0")[0] == pytest.approx(
        authority("ckt_n1")["value"][key], abs=1e-4
    )


@pytest.mark.parametrize("foreign_V", ["0.05", "0.5"])
def test_does_a_live_circuit_falsify_ohms_as_the_closed_form_says(foreign_V: str):
    """dmm_live_ohms.json: a closed form; 1e-9 for rounding."""
    told = authority("dmm_live_ohms")["examples"]
    truck = WiredTruck(
        [
            VoltageSource("E", "a", "0", float(foreign_V)),
            Resistor("R", "a", "b", told["resistance_ohm"]),
        ]
    )
    standing_V = truck.voltage_V("b", "0")
    shown = apparent_ohm(truck, "b", "0", told["test_current_A"], 3.0, standing_V)
    assert shown[0] == pytest.approx(told["foreign_V_to_ohm"][foreign_V], rel=1e-9)


def test_is_a_battery_behind_the_leads_an_overload_on_ohms():
    """dmm_live_ohms.json: 12.6 V gives 12.7 kohm or overload; this meter gives up at 3 V."""
    told = authority("dmm_live_ohms")["examples"]
    volts = max(float(volts) for volts in told["foreign_V_to_ohm"])
    truck = WiredTruck([VoltageSource("E", "a", "0", volts), Resistor("R", "a", "b", told["resistance_ohm"])])
    assert meter.read(truck, "ohms", "b", "0").display == ("OL",)
    without_limit = apparent_ohm(truck, "b", "0", told["test_current_A"], 1e6, truck.voltage_V("b", "0"))
    assert without_limit[0] == pytest.approx(told["foreign_V_to_ohm"]["12.6"], rel=1e-6)


def test_is_the_accuracy_percent_of_reading_and_counts():
    """dmm_accuracy.json: exact, 1e-12 for binary fractions."""
    for text, expected in authority("dmm_accuracy")["value"].items():
        reading, form, resolution = text.split(", ")
        percent, counts = form.split(" %+")
        found = accuracy_limit(
            float(reading.removesuffix(" V")), float(percent), float(counts), float(resolution[4:])
        )
        assert found == pytest.approx(expected, abs=1e-12)


def test_does_the_meter_keep_the_accuracy_of_a_battery_reading():
    """dmm_accuracy.json, 12.60 V at 0.5 % + 2 counts; the likelihood takes the limit as two sigma."""
    truck = WiredTruck([VoltageSource("E", "a", "0", 12.6)])
    outcome = meter.read(truck, "dc_volts", "a", "0")
    assert outcome.display == ("12.60 V",)
    limit = authority("dmm_accuracy")["value"]["12.60 V, 0.5 %+2, res 0.01"]
    assert 2.0 * outcome.sigma[0] == pytest.approx(limit, abs=1e-12)


def test_does_the_beeper_switch_where_beepers_do():
    """dmm_continuity.json (from memory, not confirmed): between 20 and 50 ohm."""
    low, high = authority("dmm_continuity")["value"]["typical_ohm"]
    truck = WiredTruck([Resistor("R", "a", "0", low * 0.98)], [Resistor("R", "a", "0", high * 1.02)])
    assert list(meter.read(truck, "continuity", "a", "0").words) == ["beep", ""]


def test_does_a_switched_terminal_read_its_mean_on_dc_and_the_rms_of_its_alternating_part_on_ac():
    """dmm_half_bridge.json: 0.2 % as stated there, for the switches of that netlist."""
    told = authority("dmm_half_bridge")["value"]
    wave = PulseTrain(0.0, told["supply_V"], told["duty"], told["frequency_Hz"])
    truck = WiredTruck([VoltageSource("E", "a", "0", told["v_avg"])], wave=wave)
    alternating = np.sqrt(told["v_rms"] ** 2 - told["v_avg"] ** 2)
    assert meter.sense(truck, "dc_volts", "a", "0")[0] == pytest.approx(told["v_avg"], rel=2e-3)
    assert meter.sense(truck, "ac_volts", "a", "0")[0] == pytest.approx(alternating, rel=2e-3)
    assert meter.read(truck, "hertz", "a", "0").display == ("10.00 kHz",)
