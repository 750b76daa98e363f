"""The best path found for one very truck: which checks, in which order, until the cause is certain.

Greedy, one step ahead: the check that promises most information per minute of work, preparation counted, then
the truck's own answer, then the next (J. de Kleer, B. C. Williams, Artificial Intelligence 32, 1987; cost after
D. Heckerman, J. S. Breese, K. Rommelse, Commun. ACM 38(3), 1995). Before it the steps that nobody may leave out: truck and
person prepared, meter proved, complaint confirmed.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from parked_hvac.diagnosis.analysis import Weighing
from parked_hvac.diagnosis.checks import Check, checks
from parked_hvac.diagnosis.ensemble import Ensemble
from parked_hvac.diagnosis.information import (
    bits_of_tables,
    expected_information_bits,
    likely_causes,
)
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.labour_time import minutes_of
from parked_hvac.diagnosis.outlook import Answers, Outlook
from parked_hvac.diagnosis.posterior import Evidence
from parked_hvac.diagnosis.states import Action, Stand

BEFORE: tuple[Action, ...] = (("prepare", {"step": "chock_wheels"}), ("prove_meter", {}))
"""What comes before everything else."""
MOST_CHECKS = 40
LEAST_BITS = 0.12
"""A check that promises less is not taken ..."""
CHANCE_BITS = 0.08
"""... and so much of what a check promises is taken for chance, which a few draws bring forth anywhere: without it a row of
cheap looks at nothing came before the load test that decides. Found on three hundred trucks of one order: of three causes
hard to make certain it left 63 of 65 paths certain at 0 and 0.07 bits, 65 at these, 61 at 0.15 and 0.2."""
_OVERHEAD_MIN = 0.5
"""Added to the minutes of each check when checks are compared: reading, thinking, writing down."""
_FAINT = 0.002
"""Causes less probable than this do not decide which check comes next ..."""
_LEAST_CAUSES = 8
"""... unless fewer than these would be left."""
_SIEVED = 20
"""So many checks that tell most per minute, and as many that tell most, are weighed with all that was read before."""


@dataclass(frozen=True)
class Choice:
    """A check that could come next, with the bits it promises and the minutes it takes with its preparation."""

    check: Check
    bits: float
    minutes: float

    @property
    def bits_per_minute(self) -> float:
        """Promise per minute of work, less what is chance."""
        return (self.bits - CHANCE_BITS) / (self.minutes + _OVERHEAD_MIN)


@dataclass(frozen=True)
class Leg:
    """One check of a path: the actions that lead to it and take it."""

    check: Check
    actions: tuple[Action, ...]
    minutes: float


@dataclass(frozen=True)
class Knowledge:
    """Where a search stands: what is known, and how the truck stands."""

    ensemble: Ensemble
    evidence: Evidence
    stand: Stand = field(default_factory=Stand)


class Search:
    """Looks for the path on the truck that answers so, one check after the other."""

    def __init__(self, outlook: Outlook, answers: Answers) -> None:
        """Begin with the opening."""
        self._outlook, self._answers = outlook, answers
        self._weighing = Weighing(outlook.cast)
        self._stand = Stand(prepared=frozenset({"chock_wheels"}))
        self._unheard: list[Check] = []
        """Checks taken whose answers nobody has needed yet."""
        self.legs: list[Leg] = []
        for check in opening():
            self._go(check)
        first = self.legs[0]
        minutes = first.minutes + sum(minutes_of(verb, arguments) for verb, arguments in BEFORE)
        self.legs[0] = replace(first, actions=(*BEFORE, *first.actions), minutes=minutes)

    def one_more(self, first: Sequence[Check] = (), known: Evidence | None = None) -> bool:
        """Take the next of the ``first`` checks, else the best one by what is ``known``; False where none is worth taking.

        known: what really taking the path made of the candidates; without it, what the answers make of them.
        """
        if len(self.legs) >= MOST_CHECKS:
            return False
        taken = {leg.check.key for leg in self.legs}
        check = next((one for one in first if one.key not in taken), None)
        if check is None:
            choices = next_checks(self._outlook, self._knowledge(known), taken, most=1)
            check = choices[0].check if choices else None
        if check is not None:
            self._go(check)
        return check is not None

    def one_more_in_doubt(self, alike: Sequence[int], known: Evidence) -> bool:
        """Take the check that best tells the causes ``alike`` from all others, the past left aside; False where none is left.

        For someone who suspects them against all odds, and gives them an even chance.
        """
        if len(self.legs) >= MOST_CHECKS:
            return False
        even = 0.5 * known.posterior
        even[list(alike)] += 0.5 / len(alike)
        taken = {leg.check.key for leg in self.legs}
        minutes = _minutes_to_all(self._stand.bare)
        worth = (bits_of_tables(self._outlook.table, even) - CHANCE_BITS) / (minutes + _OVERHEAD_MIN)
        worth[[check.key in taken for check in checks()]] = -np.inf
        best = int(np.argmax(worth))
        if worth[best] <= 0.0:
            return False
        self._go(checks()[best])
        return True

    def _go(self, check: Check) -> None:
        before = len(self._stand.actions)
        ready = check.ready(self._stand)
        self._stand = check.taken(ready)
        minutes = _minutes(ready.actions[before:], check)
        self.legs.append(Leg(check, self._stand.actions[before:], minutes))
        self._unheard.append(check)

    def _knowledge(self, known: Evidence | None) -> Knowledge:
        for n, check in enumerate(self._unheard, 1):
            self._weighing.weigh(n, self._outlook.told[check.key], self._answers[check])
        self._unheard.clear()
        return Knowledge(self._weighing.ensemble, known or self._weighing.evidence, self._stand)


def next_checks(
    outlook: Outlook, known: Knowledge, taken: Collection[str] = (), most: int = 5
) -> tuple[Choice, ...]:
    """The checks that promise most information per minute from here, best first.

    All are sieved by what they tell of the causes left, past readings left aside; those on top are then weighed with them.
    """
    posterior = known.evidence.posterior
    causes = likely_causes(posterior, _FAINT, _LEAST_CAUSES)
    weight = posterior[causes] / posterior[causes].sum()
    minutes = _minutes_to_all(known.stand.bare)
    new = np.array([check.key not in taken for check in checks()])
    rough = np.where(new, bits_of_tables(outlook.table[:, causes], weight), 0.0)
    sieved = np.unique(
        np.concatenate(
            [np.argsort(-rough / (minutes + _OVERHEAD_MIN))[:_SIEVED], np.argsort(-rough)[:_SIEVED]]
        )
    )
    sieved = sieved[new[sieved]]
    open_checks = [checks()[m] for m in sieved]
    forecast = known.ensemble.of(causes).forecast(
        [outlook.told[check.key].of(causes) for check in open_checks],
        known.evidence.resembling[causes],
    )
    bits = expected_information_bits(forecast, weight)
    choices = [
        Choice(check, float(bit), float(minutes[m]))
        for check, bit, m in zip(open_checks, bits, sieved, strict=True)
        if bit >= LEAST_BITS
    ]
    return tuple(sorted(choices, key=lambda choice: -choice.bits_per_minute)[:most])


def opening() -> tuple[Check, ...]:
    """The checks that confirm the complaint and its conditions before anything is opened."""
    by_key = {check.key: check for check in checks()}
    wanted = ("parked: feel bunk", "parked: look bunk", "parked: read_codes ", "parked: thermometer bunk air")
    return tuple(by_key[key] for key in wanted)


@lru_cache(maxsize=512)
def _minutes_to_all(stand: Stand) -> Floats:
    """Minutes of each check of the list, with the preparation it needs from here."""
    ways: dict[tuple[str, tuple[str, ...], tuple[str, ...]], float] = {}
    found = []
    for check in checks():
        need = (check.state, check.covers, check.plugs)
        if need not in ways:
            ways[need] = _sum(stand.ready_for(*need).actions)
        found.append(ways[need] + _own_minutes(check))
    minutes = np.array(found)
    minutes.flags.writeable = False
    return minutes


def _minutes(actions: Sequence[Action], check: Check) -> float:
    return _sum(actions) + _own_minutes(check)


def _own_minutes(check: Check) -> float:
    return max(_sum(check.actions), 0.1)


def _sum(actions: Sequence[Action]) -> float:
    return sum(minutes_of(verb, arguments) for verb, arguments in actions)
