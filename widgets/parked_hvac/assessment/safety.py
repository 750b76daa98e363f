"""Which safety rules a step breaks, seen on the replayed truck just before the step is taken."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Protocol

import numpy as np

from parked_hvac.assessment.rules import Rule, rules
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.tables import DataError, nearest

DRIVE = ("T1.+", "T1.-")
_FAN_FUSES = ("F11", "F12")


class Scene(Protocol):
    """What a rule may look at: the job as it stands before the step."""

    @property
    def truck(self) -> Any:
        """The truck, one draw."""

    @property
    def prepared(self) -> set[str]:
        """Steps of preparation that were done."""

    @property
    def leads(self) -> Any:
        """Where the meter's leads are, None where nowhere."""


def breaches(scene: Scene, verb: str, arguments: Mapping[str, Any]) -> tuple[str, ...]:
    """Ids of the rules that a step breaks, on draw 0 of the truck as it stands before the step."""
    given = _with_leads(scene, verb, arguments)
    found = []
    for name, rule in rules().items():
        if rule.fits(verb, given) and not _predicate(rule.predicate)(scene, given, rule):
            found.append(name)
    return tuple(found)


def _with_leads(scene: Scene, verb: str, arguments: Mapping[str, Any]) -> dict[str, Any]:
    """The arguments, with the leads as placed where a measurement names none."""
    given = dict(arguments)
    if verb == "measure" and scene.leads is not None:
        placed = dict(zip(("function", "red", "black"), scene.leads.as_tuple(), strict=True))
        given = {**placed, **given}
    return given


def _prepared(scene: Scene, _given: Mapping[str, Any], rule: Rule) -> bool:
    return rule.needs in scene.prepared


def _negative_parted(scene: Scene, given: Mapping[str, Any], _rule: Rule) -> bool:
    negative = str(given["connector"]).removesuffix("+") + "-"
    return negative in scene.truck.controls.parted


def _positive_seated(scene: Scene, given: Mapping[str, Any], _rule: Rule) -> bool:
    positive = str(given["connector"]).removesuffix("-") + "+"
    return positive not in scene.truck.controls.parted


def _dead_between_leads(scene: Scene, given: Mapping[str, Any], rule: Rule) -> bool:
    if given["red"] == given["black"]:
        return True
    volts = scene.truck.voltage_V(str(given["red"]), str(given["black"]))
    return abs(float(volts[0])) <= _number(rule.limit)


def _drive_dead(scene: Scene, _given: Mapping[str, Any], rule: Rule) -> bool:
    return abs(float(scene.truck.voltage_V(*DRIVE)[0])) <= _number(rule.limit)


def _fuse_current(scene: Scene, given: Mapping[str, Any], rule: Rule) -> bool:
    return _outside(rule, _amperes(scene, (str(given["fuse"]),)))


def _connector_current(scene: Scene, given: Mapping[str, Any], rule: Rule) -> bool:
    return _outside(rule, _amperes(scene, catalogue().connectors[str(given["connector"])].opens))


def _fans_still(scene: Scene, _given: Mapping[str, Any], rule: Rule) -> bool:
    return _amperes(scene, _FAN_FUSES) <= _number(rule.limit)


def _engine_still(scene: Scene, _given: Mapping[str, Any], _rule: Rule) -> bool:
    return bool(scene.truck.controls.key != "engine")


def _switched_off(scene: Scene, _given: Mapping[str, Any], _rule: Rule) -> bool:
    controls = scene.truck.controls
    return controls.key == "off" and not controls.parked_cooling


def _battery_temperature(scene: Scene, given: Mapping[str, Any], rule: Rule) -> bool:
    # The banks stand outside, so they have the temperature of the air there.
    celsius = float(scene.truck.temperature_C("outside air")[0])
    return _number(rule.limit) <= celsius <= _number(rule.up_to)


PREDICATES: dict[str, Callable[[Scene, Mapping[str, Any], Rule], bool]] = {
    "prepared": _prepared,
    "negative_parted": _negative_parted,
    "positive_seated": _positive_seated,
    "dead_between_leads": _dead_between_leads,
    "drive_dead": _drive_dead,
    "fuse_current": _fuse_current,
    "connector_current": _connector_current,
    "fans_still": _fans_still,
    "engine_still": _engine_still,
    "switched_off": _switched_off,
    "battery_temperature": _battery_temperature,
}
"""Each says whether a step is safe under a rule."""


def _predicate(name: str) -> Callable[[Scene, Mapping[str, Any], Rule], bool]:
    try:
        return PREDICATES[name]
    except KeyError:
        raise DataError(f"rules.toml: no predicate is called {name!r}; {nearest(name, PREDICATES)}") from None


def _amperes(scene: Scene, branches: tuple[str, ...]) -> float:
    return max(abs(float(scene.truck.current_A(branch)[0])) for branch in branches)


def _outside(rule: Rule, amperes: float) -> bool:
    """Safe if the current is not between the rule's limits."""
    upper = np.inf if rule.up_to is None else rule.up_to
    return not _number(rule.limit) < amperes <= upper


def _number(limit: float | None) -> float:
    if limit is None:
        raise DataError("rules.toml: a rule compares a figure but has no limit; add limit = ….")
    return limit
