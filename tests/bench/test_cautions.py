"""Does a caution stand where its hazard is, and go when it is heeded?"""

from __future__ import annotations

from parked_hvac.assessment.rules import rules
from parked_hvac.bench.cautions import cautions_here
from parked_hvac.bench.screen import Screen
from parked_hvac.job.attempt import Attempt


def shown(attempt: Attempt, location: str, function: str = "dc_volts") -> tuple[str, ...]:
    return cautions_here(attempt, Screen(location=location, function=function))


def text(rule: str) -> str:
    return rules()[rule].caution


def test_rings_are_spoken_of_at_batteries_and_nowhere_else(attempt: Attempt) -> None:
    assert text("rings_off") in shown(attempt, "aux_bank")
    assert text("rings_off") in shown(attempt, "start_bank")
    assert text("rings_off") not in shown(attempt, "cab")
    assert text("rings_off") not in shown(attempt, "bunk")


def test_a_heeded_caution_goes(attempt: Attempt) -> None:
    attempt.do("prepare", step="rings_off")
    assert text("rings_off") not in shown(attempt, "aux_bank")


def test_the_exhaust_is_spoken_of_where_the_key_is(attempt: Attempt) -> None:
    assert text("exhaust_led_out") in shown(attempt, "cab")
    attempt.do("prepare", step="exhaust_hose")
    assert text("exhaust_led_out") not in shown(attempt, "cab")


def test_ohms_bring_their_caution_along(attempt: Attempt) -> None:
    assert text("ohms_on_live") not in shown(attempt, "bunk")
    assert text("ohms_on_live") in shown(attempt, "bunk", "ohms")


def test_the_caution_of_ohms_goes_once_they_were_written_down(attempt: Attempt) -> None:
    attempt.do("open_cover", cover="unit_lid")
    attempt.do("place_leads", function="ohms", red="B1.1", black="B1.2")
    assert text("ohms_on_live") in shown(attempt, "unit_opened", "ohms")
    attempt.do("measure")
    assert text("ohms_on_live") not in shown(attempt, "unit_opened", "ohms")


def test_what_the_meter_is_set_to_do_is_spoken_of_first(attempt: Attempt) -> None:
    assert shown(attempt, "aux_bank", "ohms")[0] == text("ohms_on_live")
    assert shown(attempt, "aux_bank")[0] != text("ohms_on_live")


def test_fans_are_spoken_of_while_the_unit_may_start(attempt: Attempt) -> None:
    attempt.do("open_cover", cover="unit_lid")
    assert text("hands_off_running_fans") not in shown(attempt, "unit_opened")
    attempt.do("switch_key", position="on")
    assert text("hands_off_running_fans") in shown(attempt, "unit_opened")


def test_grave_ones_come_first_and_none_twice(attempt: Attempt) -> None:
    told = shown(attempt, "aux_bank")
    assert len(set(told)) == len(told)
    grave = [rule.caution for rule in rules().values() if rule.severity == "grave"]
    ranks = [caution not in grave for caution in told]
    assert ranks == sorted(ranks)


def test_a_caution_is_not_repeated_after_its_step(attempt: Attempt) -> None:
    jumper = "No jumper without a fuse in it, ever. These studs can deliver a thousand amperes."
    assert jumper in shown(attempt, "feed_panel")
    attempt.do("open_cover", cover="feed_panel_cover")
    assert jumper not in shown(attempt, "feed_panel")
