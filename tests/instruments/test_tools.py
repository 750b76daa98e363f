"""Do hold, clamp, thermometer and the battery testers show what is there, with their own limits?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.circuit import Resistor, VoltageSource
from parked_hvac.instruments import battery_testers, clamp
from parked_hvac.instruments.hold import Hold
from tests.instruments.wired import WiredTruck


def sag(*volts: float) -> WiredTruck:
    return WiredTruck(*([VoltageSource("E", "a", "0", value)] for value in volts))


def at(volts: float):
    return lambda _elements: [VoltageSource("E", "a", "0", volts)]


@pytest.mark.parametrize(("mode", "display"), [("min", "9.40 V"), ("max", "12.80 V")])
def test_does_hold_remember_the_extreme_while_time_passes(mode, display):
    truck = sag(12.6)
    hold = Hold(mode, "dc_volts", "a", "0")
    for volts in (12.6, 9.4, 12.8):
        truck.replace(at(volts))
        hold.watch(truck)
    truck.replace(at(12.5))
    assert hold.show(truck).display == (display,)


def test_does_hold_keep_an_extreme_for_each_draw():
    truck = sag(12.0, 12.0)
    hold = Hold("min", "dc_volts", "a", "0")
    hold.watch(truck)
    truck._draws[1] = [VoltageSource("E", "a", "0", 10.0)]
    hold.watch(truck)
    truck.replace(at(12.0))
    assert hold.show(truck).display == ("12.00 V", "10.00 V")


def test_does_looking_at_the_display_leave_the_hold_as_it_is():
    truck = sag(12.0)
    hold = Hold("min", "dc_volts", "a", "0")
    hold.watch(truck)
    truck.replace(at(3.0))
    assert hold.show(truck).display == ("3.000 V",)
    truck.replace(at(12.0))
    assert hold.show(truck).display == ("12.00 V",)


def test_does_hold_refuse_functions_with_a_test_current():
    with pytest.raises(ValueError, match="choose one of dc_volts"):
        Hold("max", "ohms", "a", "0")


def loop(current_A: float, **more) -> WiredTruck:
    return WiredTruck([VoltageSource("E", "a", "0", current_A), Resistor("W1", "a", "0", 1.0)], **more)


def test_does_the_clamp_show_direction_and_its_own_zero():
    truck = loop(38.04, clamp_zero_A=-0.6)
    assert clamp.read(truck, "W1").display == ("37.4 A",)
    assert clamp.read_empty(truck).display == ("−0.6 A",)
    assert clamp.read(loop(-5.0), "W1").display == ("−5.0 A",)


def test_does_the_clamp_overload_beyond_its_range():
    outcome = clamp.read(loop(450.0), "W1")
    assert outcome.display == ("OL",)
    assert np.isnan(outcome.values[0])


def test_is_the_clamp_too_coarse_for_a_standby_current():
    # ±(2 % + 0.3 A) as two sigma: a standby current of 0.35 A is within reach of nothing at all.
    assert clamp.read(loop(0.35), "W1").sigma[0] > 0.15


def battery(name: str, emf_V: float, ohm: float) -> list:
    return [
        VoltageSource(f"E{name}", f"{name}i", "0", emf_V),
        Resistor(f"R{name}", f"{name}i", f"{name}+", ohm),
    ]


GROUND = [Resistor("frame", "B-", "0", 1e-9)]


def test_does_the_conductance_tester_read_a_battery_by_itself():
    truck = WiredTruck([*battery("B", 12.7, 0.005), *GROUND])
    # 1 / 5 mΩ
    assert battery_testers.conductance(truck, "B").display == ("200 S, 12.70 V",)


def test_does_a_battery_in_its_bank_read_as_the_bank():
    truck = WiredTruck(
        [
            *battery("B", 12.7, 0.05),
            *battery("C", 12.7, 0.005),
            Resistor("link", "B+", "C+", 1e-6),
            *GROUND,
        ]
    )
    # 20 S alone; with its neighbour beside it 220 S: the weak one hides
    assert battery_testers.conductance(truck, "B").values[0] == pytest.approx(220.0, abs=1.0)


def test_does_the_load_test_bring_out_a_weak_battery():
    truck = WiredTruck([*battery("B", 12.7, 0.004), *GROUND], [*battery("B", 12.7, 0.04), *GROUND])
    outcome = battery_testers.under_load(truck, "B")
    # 12.7 V · 60 mΩ / (60 mΩ + R)
    assert outcome.display == ("11.91 V", "7.62 V")
