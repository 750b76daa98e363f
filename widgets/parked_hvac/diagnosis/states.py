"""The states of the truck in which a technician takes readings, and how to get from one to another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

Action = tuple[str, Mapping[str, Any]]

BLOWER = 5
COLDEST_C = 16.0
_STILL_S = 20.0
"""Fans have stopped and delays have run out this long after switching off."""
BATTERY_LIDS = ("start_bank_lid", "aux_bank_lid")


@dataclass(frozen=True)
class State:
    """Key and unit as a check needs them; ``settle_s`` is the time until readings stand still."""

    name: str
    key: str
    cooling: bool
    settle_s: float
    dead: bool = False
    """The drive's feed pulled and its capacitors discharged."""
    pulled: str = ""
    """A fuse that is pulled there ..."""
    out_of: str = ""
    """... in this state of the truck."""
    plugs: tuple[str, ...] = ()
    """Plugs whose parts are measured there with ohms, parted from the rest."""


STATES = {
    state.name: state
    for state in (
        State("off", "off", False, _STILL_S),
        State("parked", "off", True, 90.0),
        State("engine", "engine", False, 120.0),
        State("apart", "off", False, _STILL_S, plugs=("X31", "X32", "X33", "X34")),
        State("dead", "off", False, _STILL_S, dead=True, pulled="F1", plugs=("X30",)),
        # How an isolator is proved to open: without its sense lead it must let go, although the engine charges.
        State("sense fuse out", "engine", False, _STILL_S, pulled="F7", out_of="engine"),
    )
}


@dataclass(frozen=True)
class Stand:
    """How far the work has come: what is prepared, open and parted, and the state of the truck."""

    state: str = "off"
    set_up: bool = False
    """Whether blower and temperature are set so that the unit must cool."""
    prepared: frozenset[str] = frozenset()
    open_covers: frozenset[str] = frozenset()
    parted: frozenset[str] = frozenset()
    pulled: frozenset[str] = frozenset()
    actions: tuple[Action, ...] = field(default=(), compare=False)

    def ready_for(self, state: str, covers: tuple[str, ...], plugs: tuple[str, ...] = ()) -> Stand:
        """The stand after the steps that bring it there, safely: preparation, covers, switches, time to settle."""
        stand = self
        wanted = STATES[state]
        missing = [cover for cover in covers if cover not in stand.open_covers]
        needed = [*(["feed_panel_cover"] if wanted.pulled else []), *(["unit_lid"] if wanted.dead else [])]
        missing += [cover for cover in needed if cover not in (*stand.open_covers, *missing)]
        if missing or wanted.dead:
            stand = stand._prepared("chock_wheels")
        for cover in missing:
            stand = stand._opened(cover)
        if stand.parted - set(plugs) or stand.pulled - {wanted.pulled}:
            stand = stand._whole_again()
        if wanted.dead:
            stand = stand._dead(wanted.pulled)
        if wanted.out_of and wanted.pulled not in stand.pulled:
            stand = stand._switched(wanted.out_of)._pulled(wanted.pulled)
        stand = stand._switched(state)  # before a plug is parted
        for plug in plugs:
            if plug not in stand.parted:
                stand = stand._did(("part_connector", {"connector": plug}), parted=stand.parted | {plug})
        return stand

    @property
    def bare(self) -> Stand:
        """The same stand without the actions that led to it."""
        return replace(self, actions=())

    def doing(self, action: Action) -> Stand:
        """The stand after an action that changes nothing of it: a reading, or waiting."""
        return self._did(action)

    def _did(self, *actions: Action, **change: Any) -> Stand:
        return replace(self, actions=(*self.actions, *actions), **change)

    def _prepared(self, *steps: str) -> Stand:
        missing = [step for step in steps if step not in self.prepared]
        made: list[Action] = [("prepare", {"step": step}) for step in missing]
        return self._did(*made, prepared=self.prepared | set(missing))

    def _opened(self, cover: str) -> Stand:
        stand = self._prepared("chock_wheels")
        if cover in BATTERY_LIDS:
            stand = stand._prepared("rings_off", "eye_protection")
        # Fans must stand still before the lid of the unit comes off.
        if cover == "unit_lid":
            stand = stand._switched("off")
        return stand._did(("open_cover", {"cover": cover}), open_covers=stand.open_covers | {cover})

    def _dead(self, fuse: str) -> Stand:
        if fuse in self.pulled:
            return self
        stand = self._switched("off")._prepared("insulated_gloves")._pulled(fuse)
        return stand._did(("discharge_capacitors", {}), state="dead")

    def _pulled(self, fuse: str) -> Stand:
        return self._did(("pull_fuse", {"fuse": fuse}), pulled=self.pulled | {fuse})

    def _whole_again(self) -> Stand:
        stand = self._switched("off") if self.state not in ("off", "apart", "dead") else self
        seat: list[Action] = [("seat_connector", {"connector": plug}) for plug in sorted(stand.parted)]
        fit: list[Action] = [("fit_fuse", {"fuse": fuse}) for fuse in sorted(stand.pulled)]
        return stand._did(*seat, *fit, parted=frozenset(), pulled=frozenset(), state="off")

    def _switched(self, state: str) -> Stand:
        now, then = STATES[self.state], STATES[state]
        if self.state == state or (then.dead and not now.cooling and now.key == "off"):
            return replace(self, state=state)
        stand = self
        if now.cooling and not then.cooling:
            stand = stand._did(("switch_parked_cooling", {"on": False}))
        if then.key == "engine":
            stand = stand._prepared("chock_wheels", "exhaust_hose")
        if now.key != then.key:
            stand = stand._did(("switch_key", {"position": then.key}))
        if (then.cooling or then.key == "engine") and not stand.set_up:
            stand = stand._did(
                ("set_blower", {"step": BLOWER}), ("set_temperature", {"celsius": COLDEST_C}), set_up=True
            )
        if then.cooling and not now.cooling:
            stand = stand._did(("switch_parked_cooling", {"on": True}))
        return stand._did(("wait", {"seconds": then.settle_s}), state=state)
