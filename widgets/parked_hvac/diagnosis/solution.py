"""The answer to one order: the causes that nothing tells apart, and the best path, proved by taking it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from parked_hvac.diagnosis.analysis import Analysis, Weighed, Weighing
from parked_hvac.diagnosis.candidates import NOTHING
from parked_hvac.diagnosis.checks import Check, checks
from parked_hvac.diagnosis.classes import alike
from parked_hvac.diagnosis.outlook import Answers, outlook
from parked_hvac.diagnosis.path import Leg, Search
from parked_hvac.diagnosis.posterior import Evidence
from parked_hvac.diagnosis.prediction import Observed
from parked_hvac.diagnosis.predictions import Step, observed
from parked_hvac.diagnosis.states import Action
from parked_hvac.diagnosis.walk import Walk, moves, shelf, walk_of
from parked_hvac.job.order import Order
from parked_hvac.job.session import Session
from parked_hvac.rig.faults import apply_fault
from parked_hvac.rig.parameters import Parameters, draw, nominal

GOAL = 0.95
"""The path ends where the cause is this probable by its readings, really taken ..."""
CERTAIN = 0.9
"""... or, where the usual way does not get there, where it is so probable: to go beyond that way is for uncertain causes ..."""

MOST_BEYOND = 8
"""Checks beyond the usual way after which it is given up, and with another way tried ..."""
MOST_IN_DOUBT = 20
"""... of so many checks."""

HOPEFUL = 0.7
"""How probable it must have become that nothing is wrong for another way to be tried."""

SOUND_ONES = 6
"""Trucks with nothing wrong that the usual way is tried on. On sixty others of two orders 54 paths ended certain, 51 without,
in a twentieth to a seventh more minutes, and in half the time to find them; with 16 no more did, in a fifth more minutes."""
_SEED = 20_252
"""Their seed: not that of the trucks by which causes are weighed."""


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
    """The checks of the best path on a truck without tolerances, its fault of middling severity.

    That nothing is wrong shows by what is ruled out, and each truck has another cause that lingers: there some trucks as
    they are drawn are taken through too, and what makes one certain that was not is added to the way.
    """
    common, name = shelf(), f"usual way {order.id} {cause}"
    known = {check.key: check for check in checks()}
    told = None if common is None else common.words(name)
    if told is not None and set(told) <= set(known):
        return tuple(known[key] for key in told)
    way = _looked_for(order, cause)
    if common is not None:
        common.put_words(name, [check.key for check in way])
    return way


def _looked_for(order: Order, cause: str) -> tuple[Check, ...]:
    truck, middle = nominal(), np.array([0.5])
    for name in cause.split(" + "):
        apply_fault(truck, name, middle, middle)
    way = tuple(leg.check for leg in _found(order, cause, truck).legs)
    if cause == NOTHING:
        sound = draw(SOUND_ONES, np.random.default_rng(_SEED))
        for one in range(SOUND_ONES):
            found = _found(order, cause, sound.taken(np.array([one])), way)
            longer = tuple(leg.check for leg in found.legs)
            if found.certainty >= CERTAIN and longer[: len(way)] == way:
                way = longer
    return way


def _found(order: Order, cause: str, truck: Parameters, usual: Sequence[Check] = ()) -> Solution:
    """The path that begins with the usual checks, as far as they are needed; where that ends uncertain, another that doubts.

    Where nothing is wrong that is tried only where it is near: no check by itself says so. Of 12 such trucks doubting made
    three certain, which had ended above 0.77, and none of seven below 0.7, at three seconds each.
    """
    search, taking = _begun(order, cause, truck)
    _go_on(search, taking, usual)
    if taking.certain or (cause == NOTHING and max(taking.sure) < HOPEFUL):
        return taking.cut()
    search, second = _begun(order, cause, truck)
    while not second.certain and len(search.legs) < MOST_IN_DOUBT:
        if not search.one_more_in_doubt(second.alike, second.evidence):
            break
        second.take(search.legs[-1], alone=True)
    return (second if second.certain else taking).cut()


def _begun(order: Order, cause: str, truck: Parameters) -> tuple[Search, _Taking]:
    """A search, and its opening taken."""
    taking = _Taking(walk_of(order), truck, _alike(order, cause))
    search = Search(outlook(order), Answers(order, truck))
    for leg in search.legs:
        taking.take(leg)
    return search, taking


def _go_on(search: Search, taking: _Taking, usual: Sequence[Check]) -> None:
    """Take the usual checks, then others, until the cause is certain.

    The search foresees all checks of a state at one moment; what a check has told is known by really taking it, minute by
    minute, and by that the next one is chosen.
    """
    wanted = {check.key for check in usual}
    while taking.sure[-1] < GOAL:
        beyond = bool(usual) and wanted <= {leg.check.key for leg in search.legs}
        if beyond and (taking.sure[-1] >= CERTAIN or len(search.legs) >= len(usual) + MOST_BEYOND):
            break
        if not search.one_more(usual, taking.evidence):
            break
        taking.take(search.legs[-1], alone=beyond)


def needed(sure: Sequence[float]) -> int:
    """How many legs of a path are needed, by the probability of the cause after each; all where it never gets certain."""
    for goal in (GOAL, CERTAIN):
        if max(sure) >= goal:
            return next(n for n, one in enumerate(sure, 1) if one >= goal)
    return len(sure)


@lru_cache(maxsize=256)
def _alike(order: Order, cause: str) -> tuple[str, ...]:
    return alike(outlook(order), cause)


class _Taking:
    """A path really taken on a truck, leg by leg, and what its readings make of the candidates."""

    def __init__(self, walk: Walk, truck: Parameters, same: tuple[str, ...]) -> None:
        self._walk, self._same = walk, same
        self.alike = [walk.cast.names.index(name) for name in same]
        self._way, self._weighing = walk.way(), Weighing(walk.cast)
        self._session = Session(walk.order, truck, context=False)
        self._steps = 0
        self._among: Sequence[int] = range(len(walk.cast.among))
        self._weighed: list[Weighed] = []
        self._taken: list[tuple[Leg, int, float, str, Observed]] = []
        self.sure: list[float] = []
        """Probability of the causes that decide, after each leg."""

    @property
    def evidence(self) -> Evidence:
        """What all readings so far say of the candidates."""
        return self._weighing.evidence

    def take(self, leg: Leg, alone: bool = False) -> None:
        """Take one leg more; its last action is its reading.

        alone: hardly any other truck takes it, so that the trucks of causes past counting need not be moved on for it.
        """
        if alone and moves(leg.actions):
            self._leave_the_faint()
        for verb, arguments in leg.actions:
            self._steps += 1
            told = self._way.take(Step(self._steps, verb, arguments))
            event = self._session.apply(verb, arguments)
            if told is not None:
                assert event.reading is not None
                seen, display = observed(event.reading), event.reading.display[0]
                self._weighed.append(self._weighing.weigh(self._steps, told, seen))
        self._taken.append((leg, len(self._weighed), self._session.minutes, display, seen))
        self.sure.append(float(self.evidence.posterior[self.alike].sum()))

    def _leave_the_faint(self) -> None:
        near = np.flatnonzero(self.evidence.resembling).tolist()
        left = sorted({*near, *self.alike, self._walk.cast.names.index(NOTHING)} & set(self._among))
        if 2 * len(left) <= len(self._among):  # as trucks are copied for it
            self._among = left
            self._way.only(left)
            self._weighing.only(left)

    @property
    def certain(self) -> bool:
        """Whether the cause was certain after some leg."""
        return max(self.sure) >= CERTAIN

    def cut(self) -> Solution:
        """The legs that are needed as a solution."""
        taken, weighed, minutes, displays, seen = zip(*self._taken[: needed(self.sure)], strict=True)
        analysis = Analysis(self._walk, tuple(self._weighed[: weighed[-1]]))
        return Solution(self._same, taken, minutes[-1], analysis, displays, seen)
