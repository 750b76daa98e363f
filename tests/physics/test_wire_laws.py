"""Wire and contact: what must hold for any copper, whatever the tables say."""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.physics import contact, wire


def test_does_resistance_grow_with_length_and_shrink_with_area():
    lengths = np.array([0.0, 1.0, 2.0, 10.0])
    areas = np.array([1.5, 3.0, 6.0])
    by_length = wire.resistance_ohm(lengths, 6.0)
    by_area = wire.resistance_ohm(1.0, areas)
    np.testing.assert_allclose(by_length, by_length[1] * lengths, rtol=1e-14)
    np.testing.assert_allclose(by_area * areas, by_area[0] * areas[0], rtol=1e-14)


def test_is_copper_warmer_copper_with_more_resistance():
    at = wire.resistance_ohm(5.0, 35.0, np.linspace(-40.0, 120.0, 50))
    assert np.all(np.diff(at) > 0)


def test_are_two_half_cables_one_whole_cable():
    whole = wire.resistance_ohm(4.0, 25.0, 40.0)
    assert 2 * wire.resistance_ohm(2.0, 25.0, 40.0) == pytest.approx(whole, rel=1e-14)
    beside = 0.5 * wire.resistance_ohm(4.0, 12.5, 40.0)
    assert beside == pytest.approx(whole, rel=1e-14)


@pytest.mark.parametrize(
    ("length_m", "area_mm2", "words"),
    [
        (-1.0, 6.0, "cannot be -1.0 m long"),
        (1.0, 0.0, "cannot have 0.0 mm²"),
        (1.0, np.nan, "cannot have nan"),
    ],
)
def test_does_an_impossible_wire_say_what_to_do(length_m, area_mm2, words):
    with pytest.raises(ValueError, match=words):
        wire.resistance_ohm(length_m, area_mm2)


@pytest.mark.parametrize("text", ["", "x", "1/2", "/0", "41", "-3"])
def test_does_text_that_is_no_gauge_say_what_to_do(text):
    with pytest.raises(ValueError, match="is no wire gauge"):
        wire.gauge_number(text)


def test_does_a_corroded_contact_show_only_under_load():
    corroded = contact.resistance_ohm(0.0002, touching_fraction=0.02, film_ohm=0.005)
    currents = np.array([0.0, 0.001, 60.0])
    drops = contact.voltage_drop_V(corroded, currents)
    assert drops[0] == 0.0
    assert drops[1] < 1e-4  # below the last digit of a meter that shows millivolts
    assert drops[2] == pytest.approx(0.9, rel=1e-12)


def test_is_the_heat_of_a_contact_drop_times_current():
    resistance = np.array([0.0001, 0.002, 0.05])
    heat = contact.heat_W(resistance, 40.0)
    np.testing.assert_allclose(heat, contact.voltage_drop_V(resistance, 40.0) * 40.0, rtol=1e-14)
    assert contact.temperature_rise_K(heat[2], 1.5) == pytest.approx(120.0, rel=1e-12)


@pytest.mark.parametrize("share", [0.0, -0.1, 1.1])
def test_does_a_contact_that_does_not_touch_say_what_to_do(share):
    with pytest.raises(ValueError, match="open the circuit instead"):
        contact.resistance_ohm(0.0002, touching_fraction=share)
