"""Which cautions stand under the picture: those of steps that can be taken here and now and are not yet made safe."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fnmatch import fnmatchcase
from functools import cache
from typing import TYPE_CHECKING

import msgspec

from parked_hvac.bench.steps import Step, steps_at
from parked_hvac.places import data_dir
from parked_hvac.tables import read_table

if TYPE_CHECKING:
    from parked_hvac.bench.screen import Screen
    from parked_hvac.job.attempt import Attempt

PUSHING = ("ohms", "continuity", "diode")
"""Functions of the meter that push a current of their own."""


class At(msgspec.Struct, frozen=True):
    """A step that a rule watches."""

    verb: str
    argument: str | None = None
    names: tuple[str, ...] = ()


class Rule(msgspec.Struct, frozen=True):
    """What of data/safety/rules.toml the screen needs; the judge reads the rest."""

    at: tuple[At, ...]
    caution: str
    severity: str = "caution"
    predicate: str = ""
    needs: str = ""


class _Rules(msgspec.Struct, frozen=True):
    rules: dict[str, Rule]
    cautions: dict[str, Rule]


@cache
def safety() -> dict[str, Rule]:
    """Rules and bare cautions by name, grave ones first. Raises DataError."""
    read = read_table(data_dir() / "safety" / "rules.toml", _Rules)
    everything = {**read.rules, **read.cautions}
    return dict(sorted(everything.items(), key=lambda item: item[1].severity != "grave"))


def cautions_at(attempt: Attempt, screen: Screen) -> Iterator[str]:
    """Sentences for the place shown, grave ones first, each until it is heeded or its step has been taken."""
    offered = [*steps_at(attempt, screen.location), Step("measure", {"function": screen.function})]
    taken = [Step(entry.action, entry.arguments) for entry in attempt.entries]
    for rule in safety().values():
        if not rule.caution or _heeded(rule, attempt, screen):
            continue
        here = any(_watches(rule, step) for step in offered)
        if here and not any(_watches(rule, step) for step in taken):
            yield rule.caution


def _watches(rule: Rule, step: Step) -> bool:
    return any(
        entry.verb == step.verb
        and (
            entry.argument is None
            or any(fnmatchcase(str(step.arguments.get(entry.argument)), name) for name in entry.names)
        )
        for entry in rule.at
    )


def _heeded(rule: Rule, attempt: Attempt, screen: Screen) -> bool:
    """Whether the hazard is not there now, so that its caution would be noise."""
    test = _HEEDED.get(rule.predicate)
    return test is not None and test(rule, attempt, screen)


def _switched_off(_rule: Rule, attempt: Attempt, _screen: Screen) -> bool:
    return attempt.controls.key == "off" and not attempt.controls.parked_cooling


_HEEDED: dict[str, Callable[[Rule, Attempt, Screen], bool]] = {
    "prepared": lambda rule, attempt, _screen: rule.needs in attempt.prepared,
    "fans_still": _switched_off,
    "fuse_current": _switched_off,
    "connector_current": _switched_off,
    "switched_off": _switched_off,
    "engine_still": lambda _rule, attempt, _screen: attempt.controls.key != "engine",
    "dead_between_leads": lambda _rule, _attempt, screen: screen.function not in PUSHING,
}
"""By predicate of a rule; a rule whose predicate is not listed is always shown where its step is offered."""
