"""The answer to one order: the causes that nothing tells apart, and the best path, proved by taking it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from parked_hvac.diagnosis.analysis import Analysis, analyse
from parked_hvac.diagnosis.checks import Check
from parked_hvac.diagnosis.classes import alike
from parked_hvac.diagnosis.outlook import Answers, outlook
from parked_hvac.diagnosis.path import Path, Search
from parked_hvac.diagnosis.prediction import Observed
from parked_hvac.diagnosis.predictions import Step, observed
from parked_hvac.diagnosis.states import Action
from parked_hvac.diagnosis.walk import Walk, walk_of
from parked_hvac.job.order import Order
from parked_hvac.job.session import Session
from parked_hvac.rig.faults import apply_fault
from parked_hvac.rig.parameters import Parameters, nominal

GOAL = 0.95
"""What the search aims at ..."""
CERTAIN = 0.9
"""... so that the cause is this probable when the path is really taken."""
ROUNDS = 8
"""How often a path is taken and then made longer ..."""
WORTH_MORE = 0.03
"""... where that makes the cause so much surer ..."""
PATIENCE = 3
"""... and how often in a row it may be tried in vain."""


@dataclass(frozen=True)
class Solution:
    """The class of the cause, the best path and what its readings, really taken, make of the candidates."""

    alike: tuple[str, ...]
    path: Path
    actions: tuple[Action, ...]
    minutes: float
    analysis: Analysis
    displays: tuple[str, ...]
    """What each reading of the path shows, in order ..."""
    seen: tuple[Observed, ...]
    """... and the same as numbers and words."""

    @property
    def certainty(self) -> float:
        """Probability of the class at the end of the path."""
        return sum(self.analysis.probability(name) for name in self.alike)


def solution(order: Order, cause: str, truck: Parameters) -> Solution:
    """Find the best path for a truck (one draw) with a known cause, and take it.

    It begins with the way that leads to this cause on the truck as drawn, as far as that is needed: most trucks with
    the same cause answer alike, and it is worked out once for all of them. Where it does not make the cause certain, it
    goes on with checks of the truck's own. Beginning anew instead was tried: it took much longer and ended no surer.
    """
    return _found(order, cause, truck, _usual(order, cause))


@lru_cache(maxsize=256)
def _usual(order: Order, cause: str) -> tuple[Check, ...]:
    """The checks of the best path on a truck without tolerances, its fault of middling severity."""
    truck, middle = nominal(), np.array([0.5])
    for name in cause.split(" + "):
        apply_fault(truck, name, middle, middle)
    return tuple(leg.check for leg in _found(order, cause, truck).path.legs)


def _found(order: Order, cause: str, truck: Parameters, usual: Sequence[Check] = ()) -> Solution:
    """The path that begins with the usual checks, as far as they are needed, proved by taking it.

    The search reads all checks of a state at one moment; so the path is then taken on the truck, minute by minute, and made
    longer while the cause is not certain then.
    """
    walk = walk_of(order)
    same = _alike(order, cause)
    search = Search(outlook(order), Answers(order, truck), [walk.cast.names.index(name) for name in same])
    search.until(GOAL, usual)
    found = _taken(walk, truck, search.path, same)
    in_vain = 0
    for _ in range(1, ROUNDS):
        if found.certainty >= CERTAIN or in_vain == PATIENCE:
            break
        search.believe(found.analysis.posterior)
        if not search.one_more(usual):
            break
        search.until(GOAL, usual)
        longer = _taken(walk, truck, search.path, same)
        # A path that leads astray must not become the measure for others, nor one that only grows longer.
        surer = longer.certainty >= min(found.certainty + WORTH_MORE, CERTAIN)
        found, in_vain = (longer, 0) if surer else (found, in_vain + 1)
    return found


@lru_cache(maxsize=256)
def _alike(order: Order, cause: str) -> tuple[str, ...]:
    return alike(outlook(order), cause)


def _taken(walk: Walk, truck: Parameters, path: Path, same: tuple[str, ...]) -> Solution:
    session = Session(walk.order, truck, context=False)
    steps, displays, seen = [], [], {}
    for n, (verb, arguments) in enumerate(path.actions, 1):
        steps.append(Step(n, verb, arguments))
        event = session.apply(verb, arguments)
        if event.reading is not None:
            displays.append(event.reading.display[0])
            seen[n] = observed(event.reading)
    analysis = analyse(walk, steps, seen)
    return Solution(
        same, path, path.actions, session.minutes, analysis, tuple(displays), tuple(seen.values())
    )
