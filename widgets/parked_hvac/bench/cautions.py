"""Which cautions stand under the picture: those of steps that can be taken here and are not yet made safe."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from parked_hvac.assessment import rules
from parked_hvac.assessment.rules import Rule
from parked_hvac.bench.steps import Step, steps_at
from parked_hvac.instruments.meter import PUSHING

if TYPE_CHECKING:
    from parked_hvac.bench.screen import Screen
    from parked_hvac.job.attempt import Attempt


def cautions_here(attempt: Attempt, screen: Screen) -> tuple[str, ...]:
    """Sentences for the place shown, each until it is heeded or its step has been taken.

    What the meter is set to do comes first, then grave ones: only the first is read without a press.
    """
    meter = Step("measure", {"function": screen.function, **screen.leads})
    at_hand = _told_at(meter.verb, meter.arguments)
    offered = [*steps_at(attempt, screen.location), meter]
    told = {text for step in offered for text in _told_at(step.verb, step.arguments)}
    # A reading written down from where the leads lie has its function and terminals in the reading alone.
    taken = [(entry.action, entry.arguments) for entry in attempt.entries]
    taken += [(reading.action, reading.arguments) for reading in attempt.readings]
    past = {text for verb, arguments in taken for text in _told_at(verb, arguments)}
    found: list[str] = []
    by_weight = sorted(rules.rules().values(), key=lambda rule: rule.severity != "grave")
    for rule in sorted(by_weight, key=lambda rule: rule.caution not in at_hand):
        told_here = rule.caution in told
        told.discard(rule.caution)
        if told_here and rule.caution not in past and not _heeded(rule, attempt, screen):
            found.append(rule.caution)
    # What is left belongs to no rule that could be broken; it stands last.
    return (*found, *sorted(told - past))


def _told_at(verb: str, arguments: Mapping[str, Any]) -> tuple[str, ...]:
    return _cached(verb, tuple(sorted(arguments.items())))


@lru_cache(maxsize=4096)
def _cached(verb: str, arguments: tuple[tuple[str, Any], ...]) -> tuple[str, ...]:
    """Asked anew at every click for every entry of the log, so it is looked up once."""
    return rules.cautions_at(verb, dict(arguments))


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
