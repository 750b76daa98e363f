"""Walks every safety rule: a shortest list of steps that breaks it, and one of the same purpose that does not."""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np
import pytest

from parked_hvac.assessment.rules import Where, cautions, cautions_at, rules
from parked_hvac.assessment.safety import PREDICATES, breaches
from parked_hvac.job.actions import actions
from parked_hvac.job.order import order_named
from parked_hvac.job.session import Session
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.faults import draw_parameters

Steps = list[tuple[str, dict[str, Any]]]

CHOCKS = ("prepare", {"step": "chock_wheels"})
HOSE = ("prepare", {"step": "exhaust_hose"})
RINGS = ("prepare", {"step": "rings_off"})
GOGGLES = ("prepare", {"step": "eye_protection"})
GLOVES = ("prepare", {"step": "insulated_gloves"})
AT_BATTERIES: Steps = [CHOCKS, RINGS, GOGGLES, ("open_cover", {"cover": "aux_bank_lid"})]
UNIT_OPEN: Steps = [CHOCKS, ("open_cover", {"cover": "unit_lid"})]
PANEL_OPEN: Steps = [CHOCKS, ("open_cover", {"cover": "feed_panel_cover"})]
ON: Steps = [
    ("set_blower", {"step": 5}),
    ("set_temperature", {"celsius": 16.0}),
    ("switch_parked_cooling", {"on": True}),
    ("wait", {"seconds": 120.0}),
]
BLOWER_ONLY: Steps = [*ON[:1], ("set_temperature", {"celsius": 28.0}), *ON[2:]]
OFF: Steps = [("switch_parked_cooling", {"on": False}), ("wait", {"seconds": 20.0})]
PULL_F1 = ("pull_fuse", {"fuse": "F1"})
DISCHARGE = ("discharge_capacitors", {})
ENGINE = ("switch_key", {"position": "engine"})


def part(connector: str) -> tuple[str, dict[str, Any]]:
    return "part_connector", {"connector": connector}


def ohms(red: str, black: str) -> tuple[str, dict[str, Any]]:
    return "measure", {"function": "ohms", "red": red, "black": black}


WALK: dict[str, tuple[Steps, Steps]] = {
    "wheels_chocked": ([PANEL_OPEN[1]], PANEL_OPEN),
    "exhaust_led_out": ([CHOCKS, ENGINE], [CHOCKS, HOSE, ENGINE]),
    "rings_off": ([CHOCKS, GOGGLES, AT_BATTERIES[3]], AT_BATTERIES),
    "eye_protection": ([CHOCKS, RINGS, AT_BATTERIES[3]], AT_BATTERIES),
    "negative_first": ([*AT_BATTERIES, part("G2+")], [*AT_BATTERIES, part("G2-"), part("G2+")]),
    "negative_last": (
        [*AT_BATTERIES, part("G2-"), part("G2+"), ("seat_connector", {"connector": "G2-"})],
        [
            *AT_BATTERIES,
            part("G2-"),
            part("G2+"),
            *(("seat_connector", {"connector": c}) for c in ("G2+", "G2-")),
        ],
    ),
    "ohms_on_live": ([ohms("X11.1", "X11.4")], [*UNIT_OPEN, part("X34"), ohms("S1.1", "S1.2")]),
    "drive_discharged": (
        [*UNIT_OPEN, part("X30")],
        [*PANEL_OPEN, UNIT_OPEN[1], GLOVES, PULL_F1, DISCHARGE, part("X30"), ohms("M1.U", "M1.V")],
    ),
    "gloves_at_capacitors": ([*UNIT_OPEN, DISCHARGE], [*UNIT_OPEN, GLOVES, DISCHARGE]),
    "fuse_under_heavy_load": ([*PANEL_OPEN, *ON, PULL_F1], [*PANEL_OPEN, *ON, *OFF, PULL_F1]),
    "fuse_under_load": (
        [*PANEL_OPEN, *BLOWER_ONLY, ("pull_fuse", {"fuse": "F2"})],
        [*PANEL_OPEN, *BLOWER_ONLY, *OFF, ("pull_fuse", {"fuse": "F2"})],
    ),
    "connector_under_heavy_load": ([CHOCKS, *ON, part("X10")], [CHOCKS, *ON, *OFF, part("X10")]),
    "connector_under_load": ([CHOCKS, *BLOWER_ONLY, part("X10")], [CHOCKS, *BLOWER_ONLY, *OFF, part("X10")]),
    "hands_off_running_fans": (
        [*UNIT_OPEN, *ON, ("feel", {"location": "unit_opened"})],
        [*UNIT_OPEN, *ON, *OFF, ("feel", {"location": "unit_opened"})],
    ),
    "lid_of_running_unit": ([CHOCKS, *ON, UNIT_OPEN[1]], [CHOCKS, *ON, *OFF, UNIT_OPEN[1]]),
    "engine_bay_running": (
        [CHOCKS, HOSE, ENGINE, ("feel", {"location": "engine_bay"})],
        [CHOCKS, HOSE, ENGINE, ("switch_key", {"position": "off"}), ("feel", {"location": "engine_bay"})],
    ),
    "repair_dead": (
        [*UNIT_OPEN, ("switch_key", {"position": "on"}), ("repair", {"fault": "k1_contact_burnt"})],
        [*UNIT_OPEN, ("repair", {"fault": "k1_contact_burnt"})],
    ),
    "battery_fit_to_charge": (
        [*AT_BATTERIES, ("repair", {"fault": "aux_bank_discharged"})],
        [*AT_BATTERIES, ("repair", {"fault": "aux_bank_discharged"})],
    ),
}
"""Rule → steps of which only the last breaks it, and steps that break none at all."""
FROST = {"battery_fit_to_charge"}
"""Rules whose first list is walked in a night of 10 below zero."""


def walked(steps: Steps, outside_C: float = 24.0) -> list[tuple[str, ...]]:
    """Rules that each step broke, on a sound truck."""
    order = order_named("bench-tour")
    conditions = msgspec.structs.replace(order.conditions, outside_C=outside_C, bunk_C=outside_C)
    order = msgspec.structs.replace(order, conditions=conditions)
    session = Session(order, draw_parameters(("nothing_wrong",), 1, np.random.default_rng(1)))
    found = []
    for verb, arguments in steps:
        found.append(breaches(session, verb, arguments))
        session.apply(verb, arguments)
    return found


def test_is_every_rule_walked() -> None:
    assert list(WALK) == list(rules())


@pytest.mark.parametrize("rule", WALK)
def test_does_the_breach_show_at_its_step_and_not_before(rule: str) -> None:
    *before, last = walked(WALK[rule][0], outside_C=-10.0 if rule in FROST else 24.0)
    assert rule in last
    assert not any(rule in broken for broken in before)


@pytest.mark.parametrize("rule", WALK)
def test_does_the_safe_way_break_nothing(rule: str) -> None:
    assert set(walked(WALK[rule][1])) == {()}


@pytest.mark.parametrize("battery", ["G2.1-", "G2.2-", "G1.1-", "G1.2-"])
def test_is_a_battery_taken_out_of_its_bank_with_all_off_no_breach(battery: str) -> None:
    """Equal batteries even out a few amperes among themselves; nobody can switch that off."""
    cover = ("open_cover", {"cover": "start_bank_lid" if battery.startswith("G1") else "aux_bank_lid"})
    assert set(walked([*AT_BATTERIES[:3], cover, part(battery)])) == {()}


def test_is_the_sense_fuse_pulled_while_the_engine_charges_no_breach() -> None:
    """Lesson 03 proves so that the isolator opens, and the spec sheet says when; any other fuse is watched."""
    assert set(
        walked([*PANEL_OPEN, HOSE, ENGINE, ("wait", {"seconds": 120.0}), ("pull_fuse", {"fuse": "F7"})])
    ) == {()}
    (watched,) = rules()["fuse_under_load"].at
    assert [name for name in catalogue().fuses if not watched.fits("pull_fuse", {"fuse": name})] == ["F7"]


# What the course promises to watch or to say; the words in brackets are those of the list of safety rules in the design.
PROMISED = {
    "chock the wheels and set the parking brake": "wheels_chocked",
    "hose on the exhaust": "exhaust_led_out",
    "eye protection": "eye_protection",
    "rings, watch and chains off": "rings_off",
    "negative off first": "negative_first",
    "only on a dead circuit": "ohms_on_live",
    "don't pry relays": "no_prying",
    "never pull a fuse under load": "fuse_under_heavy_load",
    "discharge the capacitors": "drive_discharged",
    "fans in the opened unit": "hands_off_running_fans",
    "before its lid comes off": "lid_of_running_unit",
    "never open the refrigerant circuit": "certified_only",
    "recovery machine": "certified_only",
    "no jumper without a fuse": "fused_jumper",
    "never charge a frozen or a hot battery": "battery_fit_to_charge",
    "maker's manual and your local codes": "maker_first",
}


@pytest.mark.parametrize("words", PROMISED)
def test_is_each_promised_rule_there_with_caution_breach_and_severity(words: str) -> None:
    one = {**rules(), **cautions()}[PROMISED[words]]
    assert words in one.caution.lower()
    assert one.breach.endswith(".")
    assert one.severity in ("grave", "minor")


@pytest.mark.parametrize("rule", rules())
def test_is_the_caution_shown_at_the_step_that_breaks_it(rule: str) -> None:
    verb, arguments = WALK[rule][0][-1]
    shown = cautions_at(verb, arguments)
    # The lighter of two rules about one thing leaves the words to the graver one.
    assert rules()[rule].caution in (*shown, "")
    assert shown


def test_does_every_rule_watch_steps_that_exist() -> None:
    for one in (*rules().values(), *cautions().values()):
        for where in one.at:
            assert where.verb in actions()
            assert not _unknown(where), where
    assert {rule.predicate for rule in rules().values()} == set(PREDICATES)


def _unknown(where: Where) -> list[str]:
    """Names of a step's argument that no allowed value fits, as after a slip of the pen."""
    if where.argument is None:
        return []
    (argument,) = (one for one in actions()[where.verb].arguments if one.name == where.argument)
    return [
        name
        for name in where.names
        if not any(
            Where(where.verb, where.argument, (name,)).fits(where.verb, {where.argument: known})
            for known in argument.names
        )
    ]
