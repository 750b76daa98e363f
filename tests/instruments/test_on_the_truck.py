"""Do the instruments work on the training truck itself, one draw or many?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.instruments import battery_testers, clamp, data_link_reader, meter, senses, thermometer
from parked_hvac.instruments.specification import tools
from parked_hvac.rig import data_link, live
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.faults import draw_parameters, faults
from parked_hvac.rig.parameters import join, nominal
from parked_hvac.rig.senses import POINTS
from parked_hvac.rig.truck import Truck


@pytest.fixture(scope="module")
def truck() -> Truck:
    """As drawn, at rest; no test of this module changes it."""
    return Truck(nominal(1), Conditions())


def test_can_every_terminal_be_probed_in_every_function(truck):
    for number, name in enumerate(catalogue().terminals):
        # Two functions at each terminal, all six within three neighbours.
        for function in meter.FUNCTIONS[2 * (number % 3) : 2 * (number % 3) + 2]:
            outcome = meter.read(truck, function, name, "X0")
            assert outcome.display[0]
            assert np.isnan(outcome.values[0]) == bool(outcome.words[0])


def test_does_a_relay_coil_read_as_drawn(truck):
    outcome = meter.read(truck, "ohms", "K1.86", "K1.85")
    coil_ohm = truck.parameters["relay.K1.coil_ohm"][0]
    assert outcome.values[0] == pytest.approx(coil_ohm + 0.16, abs=0.06)


def test_do_both_ends_of_the_data_link_read_sixty_ohms(truck):
    # Two 120 Ω ends in parallel: common practice, as in SAE J1939-11.
    assert meter.read(truck, "ohms", "X40.H", "X40.L").values[0] == pytest.approx(60.0, abs=1.0)


def test_is_ohms_across_a_bank_an_overload_and_its_voltage_a_reading(truck):
    assert meter.read(truck, "ohms", "G2+", "G2-").display == ("OL",)
    assert 12.4 < meter.read(truck, "dc_volts", "G2+", "G2-").values[0] < 13.3


def test_do_readings_leave_the_truck_as_it_was(truck):
    before = truck.voltage_V("G2+", "X0").copy()
    meter.read(truck, "ohms", "K1.86", "K1.85")
    battery_testers.under_load(truck, "G2.1")
    assert truck.time_s == 0.0
    np.testing.assert_array_equal(truck.voltage_V("G2+", "X0"), before)


def test_do_many_draws_read_as_each_does_alone():
    drawn = draw_parameters(["aux_battery_weak"], 3, np.random.default_rng(5))
    together = Truck(drawn, Conditions())
    for function, red, black in (
        ("dc_volts", "G2+", "G2-"),
        ("ohms", "K1.86", "K1.85"),
        ("ohms", "B2.1", "B2.2"),
    ):
        outcome = meter.read(together, function, red, black)
        for draw in range(3):
            alone = meter.read(Truck(drawn.taken([draw]), Conditions()), function, red, black)
            assert outcome.display[draw] == alone.display[0]


def test_does_a_battery_tester_find_a_battery_with_its_lug_off_alone():
    truck = Truck(nominal(1), Conditions())
    in_bank = battery_testers.conductance(truck, "G2.1").values[0]
    truck.part("G2.1-")
    alone = battery_testers.conductance(truck, "G2.1").values[0]
    # Four equal batteries in parallel, the links between them taking some of it away
    assert 2.0 < in_bank / alone < 4.0


def test_does_the_clamp_read_every_cable(truck):
    for cable in catalogue().cables:
        assert clamp.read(truck, cable).unit == "A"


def test_can_the_thermometer_touch_every_point(truck):
    for point in POINTS:
        assert -40.0 < thermometer.read(truck, point).values[0] < 120.0


def test_does_each_thing_a_place_tells_belong_to_one_sense(truck):
    known = [thing for sense in senses.SENSES for thing in getattr(tools().senses, sense)]
    assert len(known) == len(set(known))
    told = {thing for place in catalogue().locations for thing in truck.senses(place)}
    assert told == set(known)


@pytest.mark.parametrize("curtains", ["open", "closed"])
def test_does_a_look_at_the_bunk_tell_how_the_curtain_hangs(curtains):
    truck = Truck(nominal(1), Conditions(curtains=curtains))
    assert f"curtain: {curtains}" in senses.notice(truck, "look", "bunk").display[0].split("; ")


@pytest.mark.parametrize(("fault", "warmer"), [("refrigerant_lost", False), ("nothing_wrong", True)])
def test_is_the_liquid_line_as_warm_as_outside_when_nothing_is_pumped(fault, warmer):
    generator = np.random.default_rng(4)
    truck = Truck(draw_parameters([fault], 1, generator), Conditions(outside_C=32.0, bunk_C=31.0))
    truck.turn_blower(4)
    truck.turn_temperature(16.0)
    truck.press_parked_cooling(True)
    truck.advance(200.0)  # long enough for a warm line, and before a cold bunk stops the compressor
    above_K = (
        thermometer.read(truck, "liquid line").values[0] - thermometer.read(truck, "outside air").values[0]
    )
    # Common practice, no source: a liquid line is warm to the hand while refrigerant is pumped, and never below outside.
    assert (above_K > 5.0) if warmer else (above_K == pytest.approx(0.0, abs=0.2))


def test_is_a_sense_with_nothing_to_tell_a_word_too(truck):
    assert senses.notice(truck, "listen", "aux_bank").display == ("nothing to hear",)
    assert senses.notice(truck, "look", "aux_bank").display == ("lugs at G2: clean",)


def test_does_an_unknown_sense_name_the_nearest(truck):
    with pytest.raises(ValueError, match="did you mean 'listen'"):
        senses.notice(truck, "lisen", "bunk")


def test_is_a_unit_that_sleeps_silent_on_the_data_link(truck):
    assert data_link_reader.read_codes(truck).display == ("no answer",)
    for value in tools().live:
        assert data_link_reader.read_live(truck, value).display == ("no answer",)


def test_does_an_unknown_live_value_name_the_nearest(truck):
    with pytest.raises(ValueError, match="did you mean 'supply_V'"):
        data_link_reader.read_live(truck, "suply_V")


def test_do_codes_show_their_counts_and_count_as_one_word_without_them():
    drawn = draw_parameters(["b1_open"], 2, np.random.default_rng(1))
    truck = Truck(drawn, Conditions())
    truck.press_parked_cooling(True)
    truck.turn_blower(3)
    truck.advance(10.0)
    outcome = data_link_reader.read_codes(truck)
    assert list(outcome.words) == ["SPN 520193 FMI 3"] * 2
    assert outcome.display == ("SPN 520193 FMI 3 ×1",) * 2
    assert data_link_reader.read_live(truck, "supply_V").values[0] > 11.0


def awake(*names: str) -> Truck:
    """Trucks side by side, each with a fault, asked to cool for ten seconds."""
    generator = np.random.default_rng(1)
    made = Truck(join([draw_parameters([name], 1, generator) for name in names]), Conditions())
    made.press_parked_cooling(True)
    made.turn_blower(3)
    made.advance(10.0)
    return made


def test_does_the_reader_know_nothing_but_the_messages_on_the_link(monkeypatch):
    made = awake("nothing_wrong", "b1_open")
    other = data_link.dm1_body([data_link.DTC(171, 3, 2), data_link.DTC(168, 1, 7)])
    monkeypatch.setattr(made, "codes_messages", lambda: [other, None])
    assert data_link_reader.read_codes(made).display == ("SPN 171 FMI 3 ×2; SPN 168 FMI 1 ×7", "no answer")
    body = data_link.pack_frames(65271, {168: np.array([11.85, np.nan])})
    monkeypatch.setattr(made, "frames", lambda pgn: {65271: body}[pgn])
    assert data_link_reader.read_live(made, "supply_V").display == ("11.85 V", "no answer")


def test_does_every_live_value_arrive_as_the_controller_has_it():
    made = awake("nothing_wrong", "data_link_open", "fuse_f13_blown")
    for name, own in tools().live.items():
        outcome, scale = data_link_reader.read_live(made, name), data_link.signal(live.SPN[name]).scale
        truth = made.live(name)[0]
        assert outcome.values[0] == pytest.approx(truth, abs=0.5 * (own.step + scale) + 1e-9), name
        assert list(outcome.words[1:]) == ["no answer", "no answer"]
    assert set(live.SPN) == set(tools().live)


def test_can_every_faulted_truck_be_read_side_by_side():
    generator = np.random.default_rng(2)
    truck = Truck(join([draw_parameters([name], 1, generator) for name in faults()]), Conditions())
    truck.set_key("engine")
    for red, black in (("G2+", "G2-"), ("T1.U", "X22"), ("K1.87", "X22"), ("B1.1", "B1.2")):
        for function in meter.FUNCTIONS:
            assert all(meter.read(truck, function, red, black).display)
