"""Does the meter choose range, digits and words as a 6000-count meter does?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.circuit import Resistor, VoltageSource
from parked_hvac.instruments import meter
from parked_hvac.instruments.outcome import shown, to_step
from parked_hvac.physics.waveform import PulseTrain
from tests.instruments.wired import WiredTruck


def volts(*values: float, **more) -> WiredTruck:
    return WiredTruck(*([VoltageSource("E", "a", "0", value)] for value in values), **more)


@pytest.mark.parametrize(
    ("volts_V", "display"),
    [
        (0.0, "0.0 mV"),
        (0.0123, "12.3 mV"),
        (-0.0004, "−0.4 mV"),
        (0.59994, "599.9 mV"),
        (0.59996, "0.600 V"),
        (5.9994, "5.999 V"),
        (5.9996, "6.00 V"),
        (12.6, "12.60 V"),
        (-12.6, "−12.60 V"),
        (59.996, "60.0 V"),
        (599.94, "599.9 V"),
        (599.96, "OL"),
        (-700.0, "OL"),
    ],
)
def test_does_auto_range_keep_below_6000_counts(volts_V: float, display: str):
    assert meter.read(volts(volts_V), "dc_volts", "a", "0").display == (display,)


def test_is_a_zero_never_shown_as_minus_zero():
    assert meter.read(volts(-0.00004), "dc_volts", "a", "0").display == ("0.0 mV",)


def test_is_the_value_what_the_display_says():
    outcome = meter.read(volts(12.6049, 0.01234, 800.0), "dc_volts", "a", "0")
    assert list(outcome.values[:2]) == [12.6, 0.0123]
    assert np.isnan(outcome.values[2])
    assert list(outcome.words) == ["", "", "OL"]
    assert outcome.resolution[:2] == pytest.approx([0.01, 0.0001])


def test_does_each_meter_of_a_batch_have_its_own_gain_error():
    outcome = meter.read(volts(10.0, 10.0, gain_error=[0.004, -0.03]), "dc_volts", "a", "0")
    assert outcome.display == ("10.04 V", "9.70 V")


def test_does_a_wrong_gain_show_on_the_known_source_and_not_in_a_frequency():
    wave = PulseTrain(0.0, 12.0, 0.5, 7200.0)
    truck = volts(6.0, gain_error=0.04, wave=wave)
    assert meter.prove(truck).display == ("10.40 V",)
    assert meter.read(truck, "hertz", "a", "0").display == ("7.20 kHz",)


def test_do_leads_held_together_show_their_own_resistance():
    assert meter.touch_leads(volts(0.0)).display == ("0.2 Ω",)
    assert meter.read(volts(5.0), "ohms", "a", "a").display == ("0.2 Ω",)
    assert meter.read(volts(5.0), "dc_volts", "a", "a").display == ("0.0 mV",)


def test_is_a_steady_voltage_nothing_on_ac_and_hertz():
    assert meter.read(volts(12.0), "ac_volts", "a", "0").display == ("0.0 mV",)
    assert meter.read(volts(12.0), "hertz", "a", "0").display == ("0.0 Hz",)


def test_is_only_the_switching_draw_of_a_batch_read_as_switched():
    wave = PulseTrain(
        np.array([0.0, 0.0]), np.array([12.0, 0.0]), np.array([0.25, 0.0]), np.array([7000.0, 0.0])
    )
    truck = volts(3.0, 9.0, wave=wave)
    assert meter.read(truck, "dc_volts", "a", "0").display == ("3.000 V", "9.00 V")
    assert meter.read(truck, "hertz", "a", "0").display == ("7.00 kHz", "0.0 Hz")
    # 12 V · √(0.25 · 0.75), the closed form of a pulse train's alternating part
    assert meter.read(truck, "ac_volts", "a", "0").display == ("5.196 V", "0.0 mV")


def test_does_a_small_ripple_leave_the_counter_at_zero():
    wave = PulseTrain(12.0, 12.4, 0.5, 7000.0)
    assert meter.read(volts(12.2, wave=wave), "hertz", "a", "0").display == ("0.0 Hz",)


def test_does_a_floating_lead_read_next_to_nothing():
    truck = WiredTruck([VoltageSource("E", "a", "0", 12.0), Resistor("R", "a", "0", 10.0)], floating=["f"])
    assert meter.read(truck, "dc_volts", "f", "0").display == ("0.0 mV",)


def test_is_one_sigma_never_finer_than_rounding():
    outcome = meter.read(volts(0.0), "hertz", "a", "0")
    assert outcome.sigma[0] >= outcome.resolution[0] / np.sqrt(12.0)


def test_does_an_unknown_function_name_the_nearest():
    with pytest.raises(ValueError, match="did you mean 'dc_volts'"):
        meter.read(volts(1.0), "dc_volt", "a", "0")


@pytest.mark.parametrize(
    ("value", "resolution", "unit", "text"),
    [
        (1467.0, 1.0, "Ω", "1.467 kΩ"),
        (88.1, 0.1, "Ω", "88.1 Ω"),
        (2.5e6, 1e3, "Ω", "2.500 MΩ"),
        (38.4, 0.1, "A", "38.4 A"),
        (825.0, 1.0, "S", "825 S"),
        (-4.25, 0.1, "°C", "−4.2 °C"),
    ],
)
def test_is_a_number_shown_with_the_prefix_of_its_range(value, resolution, unit, text):
    assert shown(value, resolution, unit) == text


def test_do_rounded_values_carry_no_dust():
    assert list(to_step(np.array([0.1 + 0.2, 12.345, 1234.0]), np.array([0.1, 0.01, 100.0]))) == [
        0.3,
        12.34,
        1200.0,
    ]
