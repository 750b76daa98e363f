"""The answer to one order: the causes that nothing tells apart, and the best path, proved by taking it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from parked_hvac.diagnosis.analysis import Analysis, Weighed, Weighing
from parked_hvac.diagnosis.checks import Check
from parked_hvac.diagnosis.classes import alike
from parked_hvac.diagnosis.outlook import Answers, outlook
from parked_hvac.diagnosis.path import Leg, Search
from parked_hvac.diagnosis.posterior import Evidence
from parked_hvac.diagnosis.prediction import Observed
from parked_hvac.diagnosis.predictions import Step, observed
from parked_hvac.diagnosis.states import Action
from parked_hvac.diagnosis.walk import Walk, walk_of
from parked_hvac.job.order import Order
from parked_hvac.job.session import Session
from parked_hvac.rig.faults import apply_fault
from parked_hvac.rig.parameters import Parameters, nominal

GOAL = 0.95
"""The path ends where the cause is this probable by its readings, really taken ..."""
CERTAIN = 0.9
"""... or, where the usual way does not get there, where it is so probable: to go beyond that way is for uncertain causes ..."""
WORTH_MORE = 0.03
"""... or else where no more than this would be gained by going on."""


@dataclass(frozen=True)
class Solution:
    """The class of the cause, the best path and what its readings, really taken, make of the candidates."""

    alike: tuple[str, ...]
    legs: tuple[Leg, ...]
    minutes: float
    analysis: Analysis
    displays: tuple[str, ...]
    """What the reading of each leg shows ..."""
    seen: tuple[Observed, ...]
    """... and the same as numbers and words."""

    @property
    def actions(self) -> tuple[Action, ...]:
        """All actions, in order."""
        return tuple(action for leg in self.legs for action in leg.actions)

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
    return _found(order, cause, truck, usual_way(order, cause))


@lru_cache(maxsize=256)
def usual_way(order: Order, cause: str) -> tuple[Check, ...]:
    """The checks of the best path on a truck without tolerances, its fault of middling severity."""
    truck, middle = nominal(), np.array([0.5])
    for name in cause.split(" + "):
        apply_fault(truck, name, middle, middle)
    return tuple(leg.check for leg in _found(order, cause, truck).legs)


def _found(order: Order, cause: str, truck: Parameters, usual: Sequence[Check] = ()) -> Solution:
    """The path that begins with the usual checks, as far as they are needed.

    The search foresees all checks of a state at one moment; what a check has told is known by really taking it, minute by
    minute, and by that the next one is chosen.
    """
    walk, same = walk_of(order), _alike(order, cause)
    taking = _Taking(walk, truck, [walk.cast.names.index(name) for name in same])
    search = Search(outlook(order), Answers(order, truck))
    for leg in search.legs:
        taking.take(leg)
    wanted = {check.key for check in usual}
    while taking.sure[-1] < GOAL:
        beyond = bool(usual) and wanted <= {leg.check.key for leg in search.legs}
        if (beyond and taking.sure[-1] >= CERTAIN) or not search.one_more(usual, taking.evidence):
            break
        taking.take(search.legs[-1])
    return taking.cut(same, needed(taking.sure))


def needed(sure: Sequence[float]) -> int:
    """How many legs of a path are needed, by the probability of the cause after each."""
    enough = next((goal for goal in (GOAL, CERTAIN) if max(sure) >= goal), max(sure) - WORTH_MORE)
    return next(n for n, one in enumerate(sure, 1) if one >= enough)


@lru_cache(maxsize=256)
def _alike(order: Order, cause: str) -> tuple[str, ...]:
    return alike(outlook(order), cause)


class _Taking:
    """A path really taken on a truck, leg by leg, and what its readings make of the candidates."""

    def __init__(self, walk: Walk, truck: Parameters, same: Sequence[int]) -> None:
        self._walk, self._same = walk, same
        self._way, self._weighing = walk.way(), Weighing(walk.cast)
        self._session = Session(walk.order, truck, context=False)
        self._steps = 0
        self._weighed: list[Weighed] = []
        self._taken: list[tuple[Leg, int, float, str, Observed]] = []
        self.sure: list[float] = []
        """Probability of the causes that decide, after each leg."""

    @property
    def evidence(self) -> Evidence:
        """What all readings so far say of the candidates."""
        return self._weighing.evidence

    def take(self, leg: Leg) -> None:
        """Take one leg more; its last action is its reading."""
        for verb, arguments in leg.actions:
            self._steps += 1
            told = self._way.take(Step(self._steps, verb, arguments))
            event = self._session.apply(verb, arguments)
            if told is not None:
                assert event.reading is not None
                seen, display = observed(event.reading), event.reading.display[0]
                self._weighed.append(self._weighing.weigh(self._steps, told, seen))
        self._taken.append((leg, len(self._weighed), self._session.minutes, display, seen))
        self.sure.append(float(self.evidence.posterior[self._same].sum()))

    def cut(self, same: tuple[str, ...], legs: int) -> Solution:
        """The first so many legs as a solution."""
        taken, weighed, minutes, displays, seen = zip(*self._taken[:legs], strict=True)
        analysis = Analysis(self._walk, tuple(self._weighed[: weighed[-1]]))
        return Solution(same, taken, minutes[-1], analysis, displays, seen)
