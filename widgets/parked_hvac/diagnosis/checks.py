"""The checks a technician could take on this truck: what is read, in which state, with which covers off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property
from typing import Any

from parked_hvac.diagnosis.states import STATES, Action, Stand
from parked_hvac.job.access import needed_covers
from parked_hvac.job.actions import actions
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.senses import POINTS

GROUND_OF_UNIT = "X22"
FRAME = "X0"
WARMED_S = 60.0
"""How long a sensor is held between warm fingers."""
_RUNNING = ("parked", "engine")


@dataclass(frozen=True)
class Check:
    """A reading, the state of the truck it is taken in, plugs that must be parted, and a sensor warmed between fingers."""

    verb: str
    arguments: Mapping[str, Any] = field(hash=False)
    state: str
    plugs: tuple[str, ...] = ()
    warmed: str | None = None

    @cached_property
    def covers(self) -> tuple[str, ...]:
        """Covers that must be off."""
        return needed_covers(self.verb, self.arguments)

    @cached_property
    def key(self) -> str:
        """A name of its own."""
        warm = " warmed" if self.warmed else ""
        return (
            f"{self.state}: {self.verb} " + " ".join(str(value) for value in self.arguments.values()) + warm
        )

    @property
    def moment(self) -> tuple[str, str | None]:
        """Checks with the same one are read at the same moment when all are foreseen."""
        return self.state, self.warmed

    @property
    def actions(self) -> tuple[Action, ...]:
        """What is done once the truck stands ready for it; the last action is the reading."""
        return (*warming(self.warmed), (self.verb, self.arguments))

    def after(self, stand: Stand) -> Stand:
        """The stand after the way to the check, and the check."""
        return self.taken(self.ready(stand))

    def taken(self, ready: Stand) -> Stand:
        """The stand after the check, from where it is ready for it."""
        for action in self.actions:
            ready = ready.doing(action)
        return ready

    def ready(self, stand: Stand) -> Stand:
        """The stand after the way to the check."""
        return stand.ready_for(self.state, self.covers, self.plugs)


def warming(sensor: str | None) -> tuple[Action, ...]:
    """The action that warms a sensor, if one is named."""
    return () if sensor is None else (("warm_sensor", {"sensor": sensor, "seconds": WARMED_S}),)


@cache
def checks() -> tuple[Check, ...]:
    """Every check of the list, each once."""
    found: dict[str, Check] = {}
    for check in (
        *_senses(),
        *_link(),
        *_volts(),
        *_ohms(),
        *_clamp(),
        *_without_sense(),
        *_batteries(),
        *_thermometer(),
    ):
        found.setdefault(check.key, check)
    return tuple(found.values())


def _senses() -> Iterator[Check]:
    for place in catalogue().locations:
        for state in _RUNNING:
            for sense in ("look", "feel", "listen"):
                # Hands stay out of the opened unit and of the engine bay while anything turns.
                if sense == "feel" and place in ("unit_opened", "engine_bay"):
                    continue
                yield Check(sense, {"location": place}, state)


def _link() -> Iterator[Check]:
    values = next(a.names for a in actions()["read_live"].arguments if a.name == "value")
    for state in _RUNNING:
        yield Check("read_codes", {}, state)
        for value in values:
            yield Check("read_live", {"value": value}, state)


def _volts() -> Iterator[Check]:
    truck = catalogue()
    pairs: list[tuple[str, str]] = []
    for fuse in truck.fuses.values():
        ground = GROUND_OF_UNIT if fuse.location == "unit_opened" else FRAME
        pairs += [(fuse.start, ground), (fuse.end, ground), (fuse.start, fuse.end)]
    for name in truck.relays:
        pairs += [(f"{name}.{pin}", GROUND_OF_UNIT) for pin in ("30", "87", "86", "85")]
        pairs += [(f"{name}.86", f"{name}.85"), (f"{name}.30", f"{name}.87")]
    for plus, minus in (
        ("K0.+", "K0.-"),
        ("P1.+", "P1.-"),
        ("M2.+", "M2.-"),
        ("M3.+", "M3.-"),
        ("T1.+", "T1.-"),
    ):
        pairs += [(plus, minus), (minus, GROUND_OF_UNIT)]
    pairs += [
        ("X20", GROUND_OF_UNIT),
        ("X21", GROUND_OF_UNIT),
        ("T1.E", "T1.-"),
        ("T1.C", "T1.-"),
        ("M3.C", "M3.-"),
    ]
    pairs += [(f"K0.{pin}", "K0.-") for pin in ("B1", "B2", "B3", "S", "D", "C", "A", "3", "4")]
    pairs += [(f"X11.{pin}", "X11.4") for pin in "123"] + [(f"X10.{pin}", f"X11.{pin}") for pin in "1234"]
    pairs += [("G1+", "G1-"), ("G2+", "G2-"), ("X1", FRAME), ("X3", FRAME), ("X1", "X3"), ("Q1.1", "Q1.2")]
    pairs += [
        ("Q1.S", FRAME),
        ("Q1.G", FRAME),
        ("Q1.L", FRAME),
        ("H1.1", "H1.2"),
        ("G3+", FRAME),
        ("X2", FRAME),
    ]
    pairs += [
        (GROUND_OF_UNIT, FRAME),
        ("X4", FRAME),
        ("W14.2", "X4"),
        (GROUND_OF_UNIT, "G2-"),
        ("G2+", "T1.+"),
    ]
    pairs += [
        ("G2+", "X3"),
        ("G2-", "W7.1"),
        ("W7.2", FRAME),
        ("G1+", "W2.1"),
        ("G1-", "W1.1"),
        ("W1.2", FRAME),
    ]
    pairs += [
        ("W2.2", "X1"),
        ("X2", "W4.1"),
        ("S3.2", FRAME),
        ("P1.K", "P1.-"),
        ("X40.H", FRAME),
        ("X40.L", FRAME),
    ]
    for spec in truck.spec_sheet.values():
        if spec.function == "dc_volts" and spec.red and spec.black:
            pairs.append((spec.red, spec.black))
    for red, black in dict.fromkeys(pairs):
        if red in truck.terminals and black in truck.terminals:
            for state in ("off", *_RUNNING):
                yield _measure("dc_volts", red, black, state)
    for red, black in (("T1.U", "T1.V"), ("T1.V", "T1.W"), ("T1.U", "T1.W")):
        for state in _RUNNING:
            yield _measure("ac_volts", red, black, state)


def _ohms() -> Iterator[Check]:
    pairs = [("M1.U", "M1.V"), ("M1.V", "M1.W"), ("M1.U", "M1.W"), ("M1.U", "M1.C")]
    for red, black in pairs:
        yield _measure("ohms", red, black, "dead", ("X30",))
    for part, plug in (("B1", "X31"), ("B2", "X32"), ("B3", "X33"), ("S1", "X34")):
        yield _measure("ohms", f"{part}.1", f"{part}.2", "apart", (plug,))
        if part != "S1":
            # Tells a bead that is off from a resistance in series with it, which stays when the bead is warm.
            yield _measure("ohms", f"{part}.1", f"{part}.2", "apart", (plug,), warmed=part)


def _clamp() -> Iterator[Check]:
    for cable in ("W1", "W2", "W3", "W6", "W7", "W8", "W9", "W12", "W14"):
        for state in _RUNNING:
            yield Check("clamp", {"cable": cable}, state)


def _without_sense() -> Iterator[Check]:
    """Whether the isolator lets go."""
    yield _measure("dc_volts", "Q1.1", "Q1.2", "sense fuse out")
    yield _measure("dc_volts", "Q1.L", FRAME, "sense fuse out")
    yield Check("clamp", {"cable": "W6"}, "sense fuse out")


def _batteries() -> Iterator[Check]:
    for battery in catalogue().batteries():
        for verb in ("test_battery", "load_test"):
            yield Check(verb, {"battery": battery}, "off")
        yield _measure("dc_volts", f"{battery}+", f"{battery}-", "off")


def _thermometer() -> Iterator[Check]:
    for point in POINTS:
        for state in _RUNNING:
            yield Check("thermometer", {"point": point}, state)


def _measure(
    function: str, red: str, black: str, state: str, plugs: tuple[str, ...] = (), warmed: str | None = None
) -> Check:
    arguments = {"function": function, "red": red, "black": black}
    assert set(plugs) <= set(STATES[state].plugs)
    return Check("measure", arguments, state, plugs, warmed)
