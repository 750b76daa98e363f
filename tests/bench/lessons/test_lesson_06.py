"""Do the figures of the controller lesson come out of the rig, and does its guide lead to the half that loses the volts?"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from parked_hvac.bench.lessons import controller_and_link as lesson
from parked_hvac.bench.lessons.stops_by_itself import GUIDE
from parked_hvac.rig.controller import codes
from parked_hvac.rig.data_link import unpack_dtc
from tests.bench.lessons.guided import act, asked, differ, explained, walked


@pytest.mark.parametrize("turn", range(8))
def test_are_the_codes_asked_for_those_that_the_bytes_hold(turn: int) -> None:
    spn, fmi, count = asked(lesson.check_yourself())._items[:3]
    for item, field in ((spn, "spn"), (fmi, "fmi")):
        shown = re.findall(r"bytes: ((?:[0-9A-F]{2} ?){4})", str(item.text))[0]
        assert getattr(unpack_dtc(bytes.fromhex(shown)), field) == item.right
    assert int(re.findall(r"is written ([0-9A-F]{2})\.", str(count.text))[0], 16) == count.right


@pytest.mark.parametrize("code", codes())
def test_do_the_four_bytes_add_up_on_paper(code: str) -> None:
    rows = lesson.four_bytes(code, 5).rows
    parts = [int(figure) for _, figure in rows[:3]]
    assert sum(parts) == int(rows[3][1]) == codes()[code].spn
    assert int(rows[4][1].split(",")[0]) == codes()[code].fmi
    assert rows[5][1] == "5"


def test_is_what_k0_does_right_in_your_turn() -> None:
    for _ in range(12):
        supply, act_on_it = asked(lesson.your_turn())._items
        assert isinstance(supply.right, float)
        assert act_on_it.right == (1 if supply.right < 11.4 else 0)


def test_are_there_enough_items_all_explained_and_other_ones_each_time() -> None:
    explained(lesson.check_yourself)
    assert differ(lesson.check_yourself, 1)


@pytest.mark.parametrize(
    ("fault", "closed"),
    [
        ("nothing_wrong", None),
        ("s1_open", "thermal switch"),
        ("panel_temperature_dead_spot", "bunk warmer"),
        ("b3_shifted", "outside"),
        ("panel_blower_dead_spot", "asked for"),
        ("fuse_f14_blown", None),
    ],
)
def test_is_just_the_condition_missing_that_the_fault_takes_away(fault: str, closed: str | None) -> None:
    rows = lesson.conditions(fault).rows
    missing = [name for name, figure in rows[:6] if figure.endswith("NO")]
    assert [name.startswith(closed or "") for name in missing] == ([True] if closed else [])
    assert rows[6][1] == ("0 %" if closed else "100 %")
    assert (rows[8][1] == "0 rpm") is (fault != "nothing_wrong")


def test_does_a_bad_joint_come_and_go_while_an_empty_bank_stays_off() -> None:
    stops = {
        state: re.findall(r"\d+ s", lesson.cut_out(state).words.split("stopped at")[-1])
        if "stopped at" in lesson.cut_out(state).words
        else []
        for state in ("sound", "lug", "empty")
    }
    assert [len(stops[state]) for state in ("sound", "lug", "empty")] == [0, 4, 1]
    assert "K0 is locked" in lesson.cut_out("lug").words


def leads(
    red: str, black: str, mode: str | None = None, seconds: float = 60.0
) -> list[tuple[str, dict[str, object]]]:
    """Blower off, leads and hold placed, blower on, the held extreme written down."""
    held = [act("hold", mode=mode)] if mode else []
    place = act("place_leads", function="dc_volts", red=red, black=black)
    return [
        act("set_blower", step=0),
        place,
        *held,
        act("set_blower", step=5),
        act("wait", seconds=seconds),
        act("measure"),
    ]


CHAPTERS = [
    [*(act("prepare", step=s) for s in ("chock_wheels", "eye_protection", "rings_off")), act("prove_meter"),
     act("switch_key", position="on"), act("set_temperature", celsius=16.0), act("set_blower", step=5),
     act("switch_parked_cooling", on=True), act("wait", seconds=180.0), act("read_codes")],
    [act("switch_parked_cooling", on=False), act("open_cover", cover="unit_lid"), act("open_cover", cover="aux_bank_lid"),
     act("set_blower", step=0), act("switch_parked_cooling", on=True), *leads("K0.+", "K0.-", "min", 120.0)],
    leads("G2+", "G2-", None, 120.0),
    leads("G2+", "X20", "max"),
    leads("X22", "G2-", "max"),
]  # fmt: skip


@pytest.mark.parametrize(("learner", "on_the_feed"), [("A17", False), ("B1", True)])
def test_does_the_guide_lead_to_the_half_that_loses_the_volts(
    tmp_path: Path, learner: str, on_the_feed: bool
) -> None:
    attempt = walked("stops-by-itself", GUIDE, CHAPTERS, tmp_path, learner)
    codes_read, supply, bank, feed, ground = (
        reading for reading in attempt.readings if reading.action != "prove_meter"
    )
    assert codes_read.display.startswith("SPN 168 FMI 1")
    assert supply.value is not None
    assert supply.value < 11.4  # spec sheet, cut_out
    assert bank.value is not None
    assert bank.value > 11.9  # spec sheet, load_aux
    assert (float(feed.value or 0) > 0.5) is on_the_feed
    assert (float(ground.value or 0) > 0.45) is not on_the_feed
