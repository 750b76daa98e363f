"""Does a click do what it says, once, and does the screen say so when it cannot?"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from parked_hvac.bench.panel import PANELS
from parked_hvac.bench.widget import Bench
from parked_hvac.job.attempt import Attempt, resume, start

OPEN_AUX = {"do": "act", "verb": "open_cover", "cover": "aux_bank_lid"}


def touch(desk: Bench, red: str, black: str) -> None:
    desk.receive({"do": "touch", "terminal": red, "lead": "red"})
    desk.receive({"do": "touch", "terminal": black, "lead": "black"})


def view(desk: Bench, name: str) -> dict[str, Any]:
    shown: dict[str, Any] = desk._panels[name].view
    return shown


def test_two_clicks_place_red_then_black_and_the_meter_shows_a_value(desk: Bench) -> None:
    desk.receive(OPEN_AUX)
    desk.receive({"do": "touch", "terminal": "G2+"})
    assert view(desk, "meter")["ready"] is False
    desk.receive({"do": "touch", "terminal": "X0"})
    assert view(desk, "picture")["leads"] == {"red": "G2+", "black": "X0"}
    assert re.fullmatch(r"1[123]\.\d\d V", view(desk, "meter")["display"])
    assert desk.attempt.leads == ("dc_volts", "G2+", "X0")


def test_a_terminal_is_found_by_hyphen_and_by_minus_sign_and_told_with_the_sign(desk: Bench) -> None:
    desk.receive(OPEN_AUX)
    for typed in ("G2-", "G2\N{MINUS SIGN}"):
        touch(desk, "G2+", typed)
        assert desk.attempt.leads == ("dc_volts", "G2+", "G2-")
        assert "black on G2\N{MINUS SIGN}" in view(desk, "picture")["message"]
    desk.receive({"do": "write"})
    assert view(desk, "card")["readings"][0]["label"] == "DC volts, G2+ to G2\N{MINUS SIGN}"


def test_a_chosen_lead_is_the_next_to_be_placed(desk: Bench) -> None:
    desk.receive({"do": "select_lead", "lead": "black"})
    desk.receive({"do": "touch", "terminal": "X0"})
    assert view(desk, "meter")["leads"] == {"red": None, "black": "X0"}
    assert view(desk, "meter")["next"] == "red"


def test_the_display_is_what_a_written_reading_says(desk: Bench) -> None:
    desk.receive(OPEN_AUX)
    touch(desk, "G2+", "X0")
    shown = view(desk, "meter")["display"]
    desk.receive({"do": "write"})
    assert [reading["display"] for reading in view(desk, "card")["readings"]] == [shown]
    assert view(desk, "card")["readings"][0]["verdict"] is None


def test_looking_at_the_display_takes_no_time_and_leaves_no_reading(desk: Bench) -> None:
    desk.receive(OPEN_AUX)
    before = desk.attempt.minutes
    touch(desk, "G2+", "X0")
    desk.receive({"do": "set_function", "function": "ac_volts"})
    assert desk.attempt.minutes == before
    assert desk.attempt.readings == []


def test_a_held_minimum_stands_in_the_display(desk: Bench) -> None:
    desk.receive(OPEN_AUX)
    touch(desk, "G2+", "X0")
    desk.receive({"do": "act", "verb": "hold", "mode": "min"})
    desk.receive({"do": "act", "verb": "switch_key", "position": "engine"})
    desk.receive({"do": "act", "verb": "wait", "seconds": 60})
    shown = view(desk, "meter")
    assert shown["hold"] == "min"
    now = float(desk.attempt.peek("dc_volts", "G2+", "X0").values[0])
    assert float(shown["display"].split()[0]) <= now
    desk.receive({"do": "write"})
    assert view(desk, "card")["readings"][0]["display"] == shown["display"]


def test_a_covered_terminal_is_refused_in_a_sentence_and_nothing_is_recorded(desk: Bench) -> None:
    desk.receive({"do": "touch", "terminal": "G2+", "lead": "red"})
    said = view(desk, "picture")["refused"]
    assert said == "G2+ is out of reach: take the lid of the auxiliary battery box off first."
    assert view(desk, "picture")["leads"] == {"red": None, "black": None}
    assert desk.attempt.entries == []


def test_a_misspelt_terminal_is_refused_with_the_nearest(desk: Bench) -> None:
    desk.receive({"do": "touch", "terminal": "X00", "lead": "black"})
    assert "did you mean 'X0'?" in view(desk, "picture")["refused"]


@pytest.mark.parametrize(
    "message",
    [
        {},
        {"do": "unheard"},
        {"do": "act"},
        {"do": "act", "verb": "wait", "seconds": "long"},
        {"do": "act", "verb": "judge", "reading": "r9", "verdict": "in_spec"},
        {"do": "touch"},
        {"do": "touch", "terminal": "X0", "lead": "green"},
        {"do": "go", "location": "moon"},
        {"do": "open", "panel": "sesame"},
        {"do": "write"},
    ],
)
def test_a_message_that_cannot_be_done_is_told_and_not_raised(desk: Bench, message: dict[str, Any]) -> None:
    desk.receive(message)
    said = view(desk, "picture")["refused"]
    assert said
    assert len(said) < 300
    assert desk.attempt.entries == []


def test_the_refusal_goes_with_the_next_action(desk: Bench) -> None:
    desk.receive({"do": "write"})
    desk.receive({"do": "go", "location": "bunk"})
    assert view(desk, "picture")["refused"] is None


def test_an_error_nobody_foresaw_is_told_in_the_bench(desk: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("planted")

    monkeypatch.setattr(desk.attempt, "do", broken)
    desk.receive(OPEN_AUX)
    assert "The bench stumbled (ZeroDivisionError: planted)" in view(desk, "picture")["refused"]


def test_closing_the_lid_takes_the_leads_off(desk: Bench) -> None:
    desk.receive(OPEN_AUX)
    touch(desk, "G2+", "X0")
    desk.receive({"do": "act", "verb": "close_cover", "cover": "aux_bank_lid"})
    assert view(desk, "meter")["leads"] == {"red": None, "black": None}
    assert view(desk, "meter")["ready"] is False


def test_after_a_restart_the_bench_shows_what_it_showed(desk: Bench, attempt: Attempt) -> None:
    desk.receive(OPEN_AUX)
    touch(desk, "G2+", "X0")
    desk.receive({"do": "act", "verb": "hold", "mode": "max"})
    desk.receive({"do": "act", "verb": "pull_fuse", "fuse": "F6"})
    desk.receive({"do": "write"})
    desk.receive({"do": "act", "verb": "judge", "reading": "r1", "verdict": "in_spec"})
    again = Bench(resume(attempt.path))
    for name in ("meter", "card", "head"):
        assert view(again, name) == view(desk, name), name
    for part in ("covers", "covered", "pulled", "parted", "leads"):
        assert view(again, "picture")[part] == view(desk, "picture")[part], part
    assert view(again, "hands")["truck"] == view(desk, "hands")["truck"]


def test_letting_time_pass_draws_what_moved(desk: Bench) -> None:
    desk.receive(OPEN_AUX)
    touch(desk, "G2+", "X0")
    desk.receive({"do": "act", "verb": "wait", "seconds": 900})
    moved = view(desk, "hands")["moved"]
    assert moved["until_s"] == pytest.approx(900)
    assert [one["kind"] for one in moved["series"]] == ["voltage", "temperature"]
    assert moved["series"][0]["spoken"].startswith("between the leads: from ")


def test_the_knobs_stop_at_their_ends(desk: Bench) -> None:
    desk.receive({"do": "act", "verb": "set_blower", "step": 5})
    desk.receive({"do": "act", "verb": "set_temperature", "celsius": 16.0})
    truck = view(desk, "hands")["truck"]
    assert truck["blower_up"]["off"]
    assert truck["set_down"]["off"]
    assert not truck["blower_down"]["off"]


def test_two_quick_clicks_turn_a_knob_two_notches(desk: Bench) -> None:
    up = view(desk, "hands")["truck"]["blower_up"]["message"]
    before = desk.attempt.controls.blower_step
    desk.receive(dict(up))
    desk.receive(dict(up))  # the page sends it before the first answer has redrawn the button
    assert desk.attempt.controls.blower_step == before + 2
    for _ in range(6):
        desk.receive(dict(up))
    assert desk.attempt.controls.blower_step == 5
    assert desk.screen.refused == "The knob is at its end."


@pytest.mark.parametrize("name", sorted(PANELS))
def test_every_paper_opens_and_closes(desk: Bench, name: str) -> None:
    desk.receive({"do": "open", "panel": name})
    assert view(desk, "panel")["open"] == name
    assert view(desk, "panel")["title"]
    desk.receive({"do": "open", "panel": None})
    assert view(desk, "panel") == {"open": None}


def test_a_cause_is_named_repaired_and_written_up(desk: Bench) -> None:
    ways = [way[2] for way in view(desk, "card")["ways"]]
    assert ways == [
        None,
        "Name the cause first.",
        "Name the cause first.",
        "Name the cause and write up first.",
    ]
    desk.receive({"do": "open", "panel": "cause"})
    desk.receive({"do": "act", "verb": "conclude", "cause": "fuse_f13_blown"})
    assert view(desk, "panel") == {"open": None}
    desk.receive({"do": "act", "verb": "open_cover", "cover": "unit_lid"})
    desk.receive({"do": "open", "panel": "repair"})
    assert "needs the lid of the unit off" in view(desk, "panel")["note"]
    desk.receive({"do": "act", "verb": "repair", "fault": "fuse_f13_blown"})
    assert view(desk, "panel") == {"open": None}
    assert desk.attempt.repaired == ("fuse_f13_blown",)
    texts = {"complaint": "no cold", "cause": "<b>fuse</b>", "correction": "fitted"}
    desk.receive({"do": "act", "verb": "write_up", **texts})
    desk.receive({"do": "open", "panel": "write_up"})
    assert view(desk, "panel")["texts"] == texts
    assert [way[2] for way in view(desk, "card")["ways"]] == [None, None, None, None]


def test_a_refused_repair_keeps_its_list_open_and_says_why(desk: Bench) -> None:
    desk.receive({"do": "act", "verb": "conclude", "cause": "fuse_f13_blown"})
    desk.receive({"do": "open", "panel": "repair"})
    desk.receive({"do": "act", "verb": "repair", "fault": "fuse_f13_blown"})
    assert view(desk, "panel")["open"] == "repair"
    assert view(desk, "panel")["refused"] == "F13 is out of reach: take the lid of the unit off first."
    assert view(desk, "picture")["refused"] is None


def test_the_text_of_a_bench_holds_no_address(desk: Bench) -> None:
    assert repr(desk) == "Bench for order 'night-call', attempt in night-call.jsonl"
    assert [repr(panel) for panel in desk._panels.values() if "0x" in repr(panel)] == []


def test_only_what_changed_goes_to_the_screen(desk: Bench) -> None:
    desk.receive({"do": "go", "location": "bunk"})
    before = {name: id(panel.view) for name, panel in desk._panels.items()}
    desk.receive({"do": "select_lead", "lead": "black"})
    changed = {name for name, panel in desk._panels.items() if id(panel.view) != before[name]}
    assert changed == {"meter"}


@pytest.mark.parametrize(("order", "left"), [("seven-readings", True), ("night-call", False)])
def test_does_the_bench_know_a_colleague_s_card_whose_readings_must_all_be_in_sight(
    tmp_path: Path, order: str, left: bool
) -> None:
    bench = Bench(start(order, "A17", tmp_path / "a.jsonl"))
    assert bench._panels["card"].fixed["left"] is left


def test_does_the_card_call_a_live_value_as_its_button_does(desk: Bench) -> None:
    desk.receive({"do": "act", "verb": "read_live", "value": "bunk_C"})
    assert view(desk, "card")["readings"][0]["label"] == "live value, bunk temperature"
