"""What comes after a conclusion: everything off, covers, the repair, plugs and fuses back, the complaint run again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from parked_hvac.diagnosis.candidates import NOTHING
from parked_hvac.diagnosis.states import BATTERY_LIDS
from parked_hvac.job.actions import AND
from parked_hvac.rig.faults import fault

Act = tuple[str, Mapping[str, Any]]

RERUN: tuple[Act, ...] = (
    ("set_blower", {"step": 5}),
    ("set_temperature", {"celsius": 16.0}),
    ("switch_parked_cooling", {"on": True}),
    ("wait", {"seconds": 180.0}),
    ("feel", {"location": "bunk"}),
)
_DRIVE = ("t1_", "m1_")


def mended_and_rerun(cause: str, before: Sequence[Act], careful: bool = True) -> list[Act]:
    """The actions that repair a cause (or 'A + B') and prove it, given those taken before.

    Without ``careful`` nothing is prepared and no capacitor discharged.
    """
    acts: list[Act] = _off(before)
    for name in cause.split(AND):
        if name != NOTHING:
            acts += _repair(name, [*before, *acts], careful)
    done = [*before, *acts]
    acts += [
        ("seat_connector", {"connector": one})
        for one in _still(done, "part_connector", "seat_connector", "connector")
    ]
    acts += [("fit_fuse", {"fuse": one}) for one in _still(done, "pull_fuse", "fit_fuse", "fuse")]
    return [*acts, *RERUN]


def _off(before: Sequence[Act]) -> list[Act]:
    acts: list[Act] = []
    for verb, name, off in (("switch_parked_cooling", "on", False), ("switch_key", "position", "off")):
        last = [arguments[name] for done, arguments in before if done == verb]
        if last and last[-1] != off:
            acts.append((verb, {name: off}))
    return [*acts, ("wait", {"seconds": 20.0})] if acts else acts


def _repair(name: str, before: Sequence[Act], careful: bool) -> list[Act]:
    open_now = set(_still(before, "open_cover", "close_cover", "cover"))
    prepared = {arguments["step"] for verb, arguments in before if verb == "prepare"}
    covers = list(fault(name).access)
    drive = (
        careful and name.startswith(_DRIVE) and "F1" not in _still(before, "pull_fuse", "fit_fuse", "fuse")
    )
    if drive:
        covers += [cover for cover in ("feed_panel_cover", "unit_lid") if cover not in covers]
    wanted = [cover for cover in covers if cover not in open_now]
    steps = ["chock_wheels", *(["rings_off", "eye_protection"] if set(wanted) & set(BATTERY_LIDS) else [])]
    steps += ["insulated_gloves"] if drive else []
    acts: list[Act] = []
    if careful:
        acts += [("prepare", {"step": step}) for step in steps if step not in prepared]
    acts += [("open_cover", {"cover": cover}) for cover in wanted]
    if drive:
        acts += [("pull_fuse", {"fuse": "F1"}), ("discharge_capacitors", {})]
    return [*acts, ("repair", {"fault": name})]


def _still(acts: Sequence[Act], on: str, off: str, name: str) -> list[str]:
    """What was parted, pulled or opened and not put back, in that order."""
    left: dict[str, None] = {}
    for verb, arguments in acts:
        if verb == on:
            left[arguments[name]] = None
        elif verb == off:
            left.pop(arguments[name], None)
    return list(left)
