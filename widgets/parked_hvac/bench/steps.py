"""What hands can do at each place besides probing, in the words of its buttons."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from parked_hvac.bench.drawings import drawings
from parked_hvac.bench.words import minutes
from parked_hvac.instruments.specification import tools
from parked_hvac.job.access import POINT_COVERS, needed_covers
from parked_hvac.job.labour import labour
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.senses import POINTS

if TYPE_CHECKING:
    from parked_hvac.job.attempt import Attempt

WARMING_S = 60
SENSORS = {"B1": "unit_opened", "B2": "bunk", "B3": "unit_outside"}
_AIR = {"vent air": "bunk", "bunk air": "bunk", "outside air": "unit_outside"}


@dataclass(frozen=True)
class Step:
    """An action that can be taken: verb and arguments, as ``Attempt.do`` takes them, and its words."""

    verb: str
    arguments: Mapping[str, Any]
    words: str = ""
    spoken: str | None = None
    """What a listener hears where the words are too short for that."""

    def message(self) -> dict[str, Any]:
        """For a button."""
        return {"verb": self.verb, **self.arguments}


def steps_at(attempt: Attempt, location: str) -> list[Step]:
    """Every step that the place offers now."""
    listed = [step for _, _, steps, _ in listed_steps(attempt, location) for step in steps]
    return [*plain_steps(attempt, location), *listed]


def plain_steps(attempt: Attempt, location: str) -> list[Step]:
    """Steps within reach that get a button each."""
    return [step for step in _plain(attempt, location) if _within_reach(attempt, step)]


def _plain(attempt: Attempt, location: str) -> list[Step]:
    cost = labour().verbs
    steps = [
        Step(sense, {"location": location}, f"{sense} ({minutes(cost[sense])})")
        for sense in ("look", "feel", "listen")
    ]
    for sensor, place in SENSORS.items():
        if place == location:
            words = f"warm {sensor} ({minutes(WARMING_S / 60)})"
            spoken = f"Warm sensor {sensor} between the fingers, {minutes(WARMING_S / 60)}"
            steps.append(Step("warm_sensor", {"sensor": sensor, "seconds": WARMING_S}, words, spoken))
    if location == "unit_opened":
        words = f"discharge ({minutes(cost['discharge_capacitors'])})"
        spoken = "Discharge the drive's capacitors with the discharge tool"
        steps.append(Step("discharge_capacitors", {}, words, spoken))
    if location == "cab":
        steps.append(Step("read_codes", {}, f"read codes ({minutes(cost['read_codes'])})"))
        steps.append(Step("switch_key", {"position": "engine"}, ""))
    for name, cover in catalogue().covers.items():
        if cover.location != location:
            continue
        time = labour().covers[name]
        if name in attempt.open_covers:
            words = f"{cover.label.split()[0]} on ({minutes(time.close)})"
            steps.append(Step("close_cover", {"cover": name}, words, f"Put the {cover.label} back on"))
        else:
            steps.append(Step("open_cover", {"cover": name}, ""))
    return steps


def listed_steps(attempt: Attempt, location: str) -> list[tuple[str, str, list[Step], str]]:
    """Steps that share a list: key, label, steps, words of the button. Only what is within reach."""
    cost = labour().verbs
    groups = [
        ("clamp", "Clamp", list(_clamps(location)), f"do it ({minutes(cost['clamp'])})"),
        ("fuse", "Fuse", list(_fuses(attempt, location)), f"do it ({minutes(cost['pull_fuse'])})"),
        ("connector", "Connector", list(_connectors(attempt, location)), "do it"),
        ("battery", "Battery", list(_batteries(location)), f"do it ({minutes(cost['test_battery'])})"),
        ("thermometer", "Thermometer", list(_points(location)), f"do it ({minutes(cost['thermometer'])})"),
        ("live", "Live value", list(_live(location)), f"do it ({minutes(cost['read_live'])})"),
    ]
    reached = [
        (key, label, [step for step in steps if _within_reach(attempt, step)], go)
        for key, label, steps, go in groups
    ]
    return [group for group in reached if group[2]]


def _within_reach(attempt: Attempt, step: Step) -> bool:
    """Whether no cover that is on lies over what the step touches."""
    return attempt.open_covers.issuperset(needed_covers(step.verb, step.arguments))


def _clamps(location: str) -> Iterator[Step]:
    for name in drawings()[location].cables():
        cable = catalogue().cables[name]
        yield Step(
            "clamp", {"cable": name}, f"clamp on {name}, {cable.start} to {cable.end}".replace("-", "−")
        )


def _fuses(attempt: Attempt, location: str) -> Iterator[Step]:
    for name, fuse in catalogue().fuses.items():
        if fuse.location == location:
            verb, words = ("fit_fuse", "fit") if name in attempt.pulled else ("pull_fuse", "pull")
            yield Step(verb, {"fuse": name}, f"{words} {name}, {fuse.label}")


def _connectors(attempt: Attempt, location: str) -> Iterator[Step]:
    for name, connector in catalogue().connectors.items():
        if connector.location != location:
            continue
        time = labour().connectors[connector.kind]
        if name in attempt.parted:
            yield Step(
                "seat_connector", {"connector": name}, f"seat {connector.label} ({minutes(time.seat)})"
            )
        else:
            yield Step(
                "part_connector", {"connector": name}, f"part {connector.label} ({minutes(time.part)})"
            )


def _batteries(location: str) -> Iterator[Step]:
    drawn = {part.name for part in drawings()[location].part if part.kind == "battery"}
    for verb, words in (("test_battery", "conductance of"), ("load_test", "load test of")):
        for battery in catalogue().batteries():
            if battery in drawn:
                yield Step(verb, {"battery": battery}, f"{words} {battery}")


def _points(location: str) -> Iterator[Step]:
    for point in POINTS:
        if point_location(point) == location:
            yield Step("thermometer", {"point": point}, f"thermometer: {point}")


@cache
def point_location(point: str) -> str:
    """Where a point of the thermometer is: by its cover, by the terminal in its name, or in the air."""
    cover = POINT_COVERS.get(point)
    if cover is not None:
        return catalogue().covers[cover].location
    terminal = catalogue().terminals.get(point.split()[-1])
    return _AIR[point] if terminal is None else terminal.location


def _live(location: str) -> Iterator[Step]:
    if location == "cab":
        for name, live in tools().live.items():
            yield Step("read_live", {"value": name}, f"live: {live.label}")
