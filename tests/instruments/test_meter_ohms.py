"""Does a test current in a real network read what the network makes of it?"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parked_hvac.circuit import Diode, Resistor, VoltageSource
from parked_hvac.instruments import meter
from parked_hvac.instruments.specification import meter_specification
from tests.instruments.wired import WiredTruck

LEAD_OHM = meter_specification().meter.lead_resistance_ohm.value


@settings(max_examples=60, deadline=None)
@given(st.floats(min_value=0.0, max_value=7.7).map(lambda exponent: 10.0**exponent))
def test_does_a_lone_resistor_read_its_value_within_the_accuracy(ohm: float):
    truck = WiredTruck([Resistor("R", "a", "b", ohm), Resistor("tie", "b", "0", 1.0)])
    outcome = meter.read(truck, "ohms", "a", "b")
    # The leads are in series; half a digit for rounding, and the leak of 1 Tohm of floor 0.
    assert outcome.values[0] == pytest.approx(ohm + LEAD_OHM, abs=0.5001 * outcome.resolution[0], rel=1e-5)


def test_does_a_parallel_path_pull_the_reading_down():
    truck = WiredTruck([Resistor("coil", "a", "0", 90.0), Resistor("lamp", "a", "0", 10.0)])
    # 90 Ω ∥ 10 Ω = 9 Ω, and the leads
    assert meter.read(truck, "ohms", "a", "0").display == ("9.2 Ω",)


def test_is_an_open_circuit_an_overload_without_a_wild_voltage():
    truck = WiredTruck([Resistor("R", "a", "0", 1.0)], floating=["f"])
    pushed = []
    plain = truck.probe

    def watched(*args, **more):
        pushed.append(plain(*args, **more))
        return pushed[-1]

    truck.probe = watched
    assert meter.read(truck, "ohms", "f", "0").display == ("OL",)
    limit_V = meter_specification().meter.open_lead_V.value
    assert max(np.abs(volts).max() for volts in pushed) <= limit_V * (1.0 + 1e-9)


@pytest.mark.parametrize(("foreign_V", "negative"), [(0.02, False), (-0.09, True)])
def test_does_a_little_foreign_voltage_shift_the_reading_to_either_side(foreign_V: float, negative: bool):
    truck = WiredTruck([VoltageSource("E", "a", "0", foreign_V), Resistor("R", "a", "b", 50.0)])
    outcome = meter.read(truck, "ohms", "b", "0")
    # R + E/I at 1 mA, the range of 600 Ω
    assert outcome.values[0] == pytest.approx(50.0 + foreign_V / 1e-3 + LEAD_OHM, abs=0.06)
    assert bool(outcome.values[0] < 0.0) is negative
    assert outcome.display[0].startswith("−") is negative


def test_do_draws_in_different_ranges_read_as_they_do_alone():
    parts = [[Resistor("R", "a", "0", ohm)] for ohm in (3.0, 4.7e3, 2.2e6, 1e12)]
    together = meter.read(WiredTruck(*parts), "ohms", "a", "0")
    alone = [meter.read(WiredTruck(part), "ohms", "a", "0").display[0] for part in parts]
    assert list(together.display) == alone
    assert alone == ["3.2 Ω", "4.700 kΩ", "2.200 MΩ", "OL"]


@pytest.mark.parametrize("ohm", [3.0, 4.7e3, 2.2e6, 1e12])
def test_is_a_reading_had_with_two_questions_to_the_network(ohm: float):
    truck = WiredTruck([Resistor("R", "a", "0", ohm)])
    meter.read(truck, "ohms", "a", "0")
    assert truck.probes <= 2


def test_does_the_gain_error_scale_ohms_too():
    truck = WiredTruck([Resistor("R", "a", "0", 10e3)], gain_error=0.02)
    assert meter.read(truck, "ohms", "a", "0").display == ("10.20 kΩ",)


def test_does_a_diode_conduct_one_way_and_show_its_forward_voltage():
    junction = Diode("D", "a", "0", saturation_A=1e-12, emission=1.0)
    truck = WiredTruck([junction, Resistor("leak", "a", "0", 1e9)])
    forward = meter.read(truck, "diode", "a", "0")
    # n·kT/q·ln(I/I_s) at 300 K and somewhat below 1 mA lies between 0.50 and 0.56 V
    assert 0.50 < forward.values[0] < 0.56
    assert meter.read(truck, "diode", "0", "a").display == ("OL",)


def test_does_a_joint_beep_and_a_break_stay_silent():
    truck = WiredTruck(
        [Resistor("R", "a", "0", 0.5)], [Resistor("R", "a", "0", 4e5)], [Resistor("R", "a", "0", 45.0)]
    )
    outcome = meter.read(truck, "continuity", "a", "0")
    assert list(outcome.words) == ["beep", "OL", ""]
    assert outcome.display == ("0.7 Ω beep", "OL", "45.2 Ω")
    assert np.isnan(outcome.values[0])


def test_is_a_live_circuit_silent_on_continuity():
    truck = WiredTruck([VoltageSource("E", "a", "0", 12.6), Resistor("R", "a", "b", 1.0)])
    assert list(meter.read(truck, "continuity", "b", "0").words) == ["OL"]
    assert list(meter.read(truck, "continuity", "0", "b").words) == ["OL"]
