"""Does a job take its time, keep its access rules and tell the rules what they must know?"""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from parked_hvac.instruments import meter
from parked_hvac.job.errors import Refused
from parked_hvac.job.labour import labour
from parked_hvac.job.order import MeterInHand, order_named
from parked_hvac.job.session import Session
from parked_hvac.rig.faults import draw_parameters
from parked_hvac.rig.parameters import Parameters, nominal

ORDER = order_named("night-call")
BANK = {"function": "dc_volts", "red": "G2+", "black": "G2-"}


def session(*steps: str, parameters: Parameters | None = None, **more) -> Session:
    made = Session(ORDER, nominal(1) if parameters is None else parameters, **more)
    for cover in steps:
        made.apply("open_cover", {"cover": cover})
    return made


def test_does_a_covered_terminal_stay_out_of_reach_at_no_cost():
    job = session()
    for verb, arguments in (
        ("measure", BANK),
        ("place_leads", BANK),
        ("test_battery", {"battery": "G2.1"}),
        ("load_test", {"battery": "G1.1"}),
        ("pull_fuse", {"fuse": "F13"}),
        ("part_connector", {"connector": "X30"}),
        ("look", {"location": "unit_opened"}),
        ("thermometer", {"point": "evaporator"}),
        ("warm_sensor", {"sensor": "B1", "seconds": 20}),
        ("discharge_capacitors", {}),
        ("repair", {"fault": "k1_contact_burnt"}),
    ):
        with pytest.raises(Refused, match=r"take the lid of .* off first\.$"):
            job.apply(verb, arguments)
    with pytest.raises(Refused, match="take the lid of the auxiliary battery box off first"):
        job.peek(**BANK)
    assert (job.minutes, job.truck.time_s, job.leads) == (0.0, 0.0, None)


def test_does_the_truck_s_clock_keep_step_with_the_minutes():
    job = session("aux_bank_lid", "unit_lid")
    job.apply("measure", BANK)
    job.apply("wait", {"seconds": 30})
    job.apply("place_leads", BANK)
    covers = labour().covers
    expected = covers["aux_bank_lid"].open + covers["unit_lid"].open + labour().verbs["measure"] + 0.5
    assert job.minutes == pytest.approx(expected)
    assert job.truck.time_s == pytest.approx(60.0 * expected)


def test_does_measure_read_first_and_let_the_minute_pass_then():
    job = session("aux_bank_lid")
    job.apply("switch_key", {"position": "engine"})
    shown = job.peek(**BANK).display
    event = job.apply("measure", BANK)
    assert event.reading is not None
    assert event.reading.display == shown
    assert job.peek(**BANK).display != shown


def test_are_arguments_left_out_taken_from_the_leads_as_placed():
    job = session("aux_bank_lid")
    with pytest.raises(Refused, match="The leads are nowhere"):
        job.apply("measure", {})
    job.apply("place_leads", {**BANK, "red": "G2.1+"})
    event = job.apply("measure", {"red": "G2+"})
    assert event.context["label"] == "DC volts, G2+ to G2\N{MINUS SIGN}"
    assert job.leads.as_tuple() == ("dc_volts", "G2+", "G2-")


def test_do_leads_come_off_with_the_cover_put_back():
    job = session("aux_bank_lid")
    job.apply("place_leads", BANK)
    assert "came off" in job.apply("close_cover", {"cover": "aux_bank_lid"}).message
    assert job.leads is None


def test_does_hold_catch_the_lowest_voltage_of_a_wait():
    job = session("aux_bank_lid")
    job.apply("place_leads", BANK)
    with pytest.raises(Refused, match="place them before"):
        session().apply("hold", {"mode": "min"})
    job.apply("hold", {"mode": "max"})
    rested_V = job.peek(**BANK).values[0]
    job.apply("switch_key", {"position": "engine"})
    job.apply("wait", {"seconds": 30})
    charging_V = job.peek(**BANK).values[0]
    job.apply("switch_key", {"position": "off"})
    job.apply("wait", {"seconds": 300})
    event = job.apply("measure", {})
    assert event.reading.values[0] >= charging_V > rested_V
    assert event.context["held"] == "max"
    assert "maximum held" in event.message


def test_does_hold_start_anew_where_the_leads_go_and_refuse_ohms():
    job = session("aux_bank_lid")
    job.apply("place_leads", BANK)
    job.apply("hold", {"mode": "max"})
    with pytest.raises(Refused, match="switch the hold off first"):
        job.apply("measure", {**BANK, "function": "ohms"})
    event = job.apply("measure", {**BANK, "red": "X0", "black": "X0"})
    assert event.reading.display == ("0.0 mV",)
    job.apply("place_leads", {**BANK, "function": "ohms"})
    assert job.hold is None
    with pytest.raises(Refused, match="holds no extreme on ohms"):
        job.apply("hold", {"mode": "min"})


def test_can_nothing_be_done_twice_that_is_done():
    job = session("feed_panel_cover")
    job.apply("pull_fuse", {"fuse": "F1"})
    for verb, arguments, sentence in (
        ("open_cover", {"cover": "feed_panel_cover"}, "is off already"),
        ("close_cover", {"cover": "unit_lid"}, "is on already"),
        ("pull_fuse", {"fuse": "F1"}, "is pulled already"),
        ("fit_fuse", {"fuse": "F2"}, "is in its holder already"),
        ("seat_connector", {"connector": "X10"}, "is seated already"),
    ):
        with pytest.raises(Refused, match=sentence):
            job.apply(verb, arguments)
    job.apply("part_connector", {"connector": "X10"})
    with pytest.raises(Refused, match="is parted already"):
        job.apply("part_connector", {"connector": "X10"})


def test_do_contexts_tell_what_safety_rules_need():
    job = session("aux_bank_lid", "feed_panel_cover")
    job.apply("prepare", {"step": "chock_wheels"})
    context = job.apply("measure", {**BANK, "function": "ohms"}).context
    assert context["prepared"] == ["chock_wheels"]
    assert context["live_V"] == pytest.approx(12.8, abs=0.4)
    assert context["engine_running"] is False
    assert context["open_covers"] == ["aux_bank_lid", "feed_panel_cover"]
    assert (context["state"], context["mode"]) == ("parked, unit off", "off")
    assert context["meter_proved"] is False
    job.apply("prove_meter", {})
    job.apply("switch_key", {"position": "engine"})
    context = job.apply("pull_fuse", {"fuse": "F3"}).context
    assert context["engine_running"] is True
    assert context["meter_proved"] is True
    assert context["fuse_current_A"] == pytest.approx(abs(job.truck.current_A("F3")[0]), abs=60.0)
    assert context["pulled"] == []
    assert job.apply("touch_leads", {}).context["pulled"] == ["F3"]


def test_is_the_capacitor_voltage_told_before_hands_reach_the_drive():
    job = session("unit_lid")
    job.apply("part_connector", {"connector": "X10"})
    event = job.apply("place_leads", {"function": "ohms", "red": "M1.U", "black": "M1.V"})
    assert event.context["compressor_terminals"] is True
    assert event.context["capacitor_V"] > 1.0
    job.apply("discharge_capacitors", {})
    event = job.apply("measure", {"function": "ohms", "red": "M1.U", "black": "M1.V"})
    assert event.context["capacitor_V"] < 1.0


def test_can_contexts_be_left_out_for_speed():
    event = session(context=False).apply("prove_meter", {})
    assert "state" not in event.context


def test_do_many_draws_do_what_each_does_alone():
    drawn = draw_parameters(["lug_corroded_g2_negative"], 3, np.random.default_rng(8))
    steps = [
        ("open_cover", {"cover": "aux_bank_lid"}),
        ("measure", BANK),
        ("switch_key", {"position": "engine"}),
        ("wait", {"seconds": 60}),
        ("measure", {**BANK, "red": "G2-", "black": "X0"}),
        ("clamp", {"cable": "W7"}),
        ("look", {"location": "aux_bank"}),
    ]
    together = session(parameters=drawn, context=False)
    shown = [together.apply(*step).reading for step in steps]
    for draw in range(3):
        alone = session(parameters=drawn.taken([draw]))
        for step, outcome in zip(steps, shown, strict=True):
            mine = alone.apply(*step).reading
            assert (mine is None) == (outcome is None)
            if mine is not None:
                # Steps of time are common to a batch, so a voltage that moves differs by up to a hundredth.
                if mine.words[0]:
                    assert mine.words[0] == outcome.words[draw]
                else:
                    assert mine.values[0] == pytest.approx(
                        outcome.values[draw], abs=1.01 * mine.resolution[0], rel=0.01
                    )


def test_does_a_bad_meter_show_on_the_known_source_and_the_other_one_help():
    order = msgspec.structs.replace(ORDER, meter=MeterInHand(gain_error=-0.04))
    job = Session(order, nominal(1))
    assert job.apply("prove_meter", {}).reading.display == ("9.60 V",)
    job.apply("change_meter", {})
    assert job.meter_proved is False
    assert job.apply("prove_meter", {}).reading.display == ("10.00 V",)


def test_does_a_session_leave_the_caller_s_figures_alone():
    drawn = nominal(2)
    order = msgspec.structs.replace(ORDER, meter=MeterInHand(gain_error=0.03))
    Session(order, drawn)
    assert list(drawn["meter.gain_error"]) == [0.0, 0.0]


def test_does_a_repair_take_its_minutes_and_never_tell_whether_it_was_right():
    told = {}
    for fault in ("lug_corroded_unit_ground", "nothing_wrong"):
        job = session(parameters=draw_parameters([fault], 1, np.random.default_rng(4)))
        event = job.apply("repair", {"fault": "lug_corroded_unit_ground"})
        told[fault] = (event.message, event.minutes)
        assert job.repaired == ["lug_corroded_unit_ground"]
    assert len(set(told.values())) == 1


def test_does_the_right_repair_cure_the_truck():
    job = session("unit_lid", parameters=draw_parameters(["fuse_f13_blown"], 1, np.random.default_rng(4)))
    leads = ("dc_volts", "F13.2", "X22")

    def rerun() -> float:
        job.apply("switch_parked_cooling", {"on": True})
        job.apply("set_blower", {"step": 3})
        job.apply("wait", {"seconds": 10})
        return float(meter.read(job.truck, *leads).values[0])

    assert rerun() < 1.0
    job.apply("repair", {"fault": "k1_contact_burnt"})
    assert rerun() < 1.0
    job.apply("repair", {"fault": "fuse_f13_blown"})
    assert rerun() > 11.0


def test_does_warming_a_sensor_lower_its_resistance_and_end():
    job = session()
    leads = ("ohms", "B2.1", "B2.2")
    job.apply("part_connector", {"connector": "X32"})
    job.truck.climate.sensor_C["B2"] = np.array([20.0])
    before = job.peek(*leads).values[0]
    job.apply("warm_sensor", {"sensor": "B2", "seconds": 60})
    assert job.peek(*leads).values[0] < before
    assert not job.truck.controls.warmed
