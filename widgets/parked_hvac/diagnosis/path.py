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

from parked_hvac.diagnosis.checks import Check, checks
from parked_hvac.diagnosis.ensemble import Ensemble
from parked_hvac.diagnosis.information import (
    bits_of_tables,
    entropy_bits,
    expected_information_bits,
    likely_causes,
)
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.labour_time import minutes_of
from parked_hvac.diagnosis.outlook import Answers, Outlook
from parked_hvac.diagnosis.posterior import Evidence, no_evidence
from parked_hvac.diagnosis.prediction import Observed, Prediction
from parked_hvac.diagnosis.states import Action, Stand

BEFORE: tuple[Action, ...] = (("prepare", {"step": "chock_wheels"}), ("prove_meter", {}))
"""What comes before everything else."""
MOST_CHECKS = 40
LEAST_BITS = 0.07
"""A check that promises less is not taken: with a few draws so little cannot be told from chance."""
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
        """Promise per minute of work."""
        return self.bits / (self.minutes + _OVERHEAD_MIN)


@dataclass(frozen=True)
class Leg:
    """One check of a path: the actions that lead to it and take it, and what was known after it."""

    check: Check
    actions: tuple[Action, ...]
    minutes: float
    entropy_bits: float
    posterior: Floats  # (C,)


@dataclass(frozen=True)
class Path:
    """The legs of a path, in order."""

    legs: tuple[Leg, ...]

    @property
    def actions(self) -> tuple[Action, ...]:
        """All actions, in order."""
        return tuple(action for leg in self.legs for action in leg.actions)

    @property
    def minutes(self) -> float:
        """Minutes of work."""
        return sum(leg.minutes for leg in self.legs)


@dataclass(frozen=True)
class Place:
    """Where a search stands: what is known, and how the truck stands."""

    ensemble: Ensemble
    evidence: Evidence
    stand: Stand = field(default_factory=Stand)


class Search:
    """Looks for the path on the truck that answers so, one check after the other."""

    def __init__(self, outlook: Outlook, answers: Answers, alike: Sequence[int]) -> None:
        """Begin with the opening. alike: indices of the candidates whose joint probability decides."""
        self._outlook, self._answers, self._alike = outlook, answers, list(alike)
        ready = Stand(prepared=frozenset({"chock_wheels"}))
        self._place = Place(outlook.cast.unread, no_evidence(outlook.cast.prior), ready)
        self._taken: set[str] = set()
        self._legs: list[Leg] = []
        for check in opening():
            self._go(check)
        first = self._legs[0]
        minutes = first.minutes + sum(minutes_of(verb, arguments) for verb, arguments in BEFORE)
        self._legs[0] = replace(first, actions=(*BEFORE, *first.actions), minutes=minutes)

    @property
    def path(self) -> Path:
        """The path so far."""
        return Path(tuple(self._legs))

    @property
    def certainty(self) -> float:
        """Probability of the causes that decide, as the search has it."""
        return float(self._place.evidence.posterior[self._alike].sum())

    def believe(self, posterior: Floats) -> None:
        """Go on from these probabilities (C,), found by really taking the path."""
        begun = replace(no_evidence(np.maximum(posterior, 1e-12)), readings=self._place.evidence.readings)
        self._place = replace(self._place, evidence=begun)

    def until(self, goal: float, first: Sequence[Check] = ()) -> None:
        """Take checks, ``first`` before others, until the causes that decide are this probable, or none is worth taking."""
        while self.certainty < goal and self.one_more(first):
            pass

    def one_more(self, first: Sequence[Check] = ()) -> bool:
        """Take the next of the ``first`` checks, else the best one; False where none is worth taking."""
        if len(self._taken) >= MOST_CHECKS:
            return False
        check = next((one for one in first if one.key not in self._taken), None)
        if check is None:
            choices = next_checks(self._outlook, self._place, self._taken, most=1)
            check = choices[0].check if choices else None
        if check is not None:
            self._go(check)
        return check is not None

    def _go(self, check: Check) -> None:
        self._place, leg = _take(self._place, check, self._outlook.told[check.key], self._answers[check])
        self._legs.append(leg)
        self._taken.add(check.key)


def next_checks(
    outlook: Outlook, place: Place, taken: Collection[str] = (), most: int = 5
) -> tuple[Choice, ...]:
    """The checks that promise most information per minute from here, best first.

    All are sieved by what they tell of the causes left, past readings left aside; those on top are then weighed with them.
    """
    posterior = place.evidence.posterior
    causes = likely_causes(posterior, _FAINT, _LEAST_CAUSES)
    weight = posterior[causes] / posterior[causes].sum()
    minutes = np.array([_minutes_from(place.stand, check) for check in checks()])
    new = np.array([check.key not in taken for check in checks()])
    rough = np.where(new, bits_of_tables(outlook.table[:, causes], weight), 0.0)
    sieved = np.unique(
        np.concatenate(
            [np.argsort(-rough / (minutes + _OVERHEAD_MIN))[:_SIEVED], np.argsort(-rough)[:_SIEVED]]
        )
    )
    sieved = sieved[new[sieved]]
    open_checks = [checks()[m] for m in sieved]
    forecast = place.ensemble.of(causes).forecast(
        [outlook.told[check.key].of(causes) for check in open_checks]
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


def _take(place: Place, check: Check, prediction: Prediction, answer: Observed) -> tuple[Place, Leg]:
    stand = _ready(place.stand, check)
    before = len(place.stand.actions)
    ensemble, log_reading = place.ensemble.observe(prediction, answer)
    evidence = place.evidence.after_one_of_many(log_reading)
    actions = (*stand.actions[before:], (check.verb, check.arguments))
    leg = Leg(
        check=check,
        actions=actions,
        minutes=_minutes(stand.actions[before:], check),
        entropy_bits=entropy_bits(evidence.posterior),
        posterior=evidence.posterior,
    )
    return Place(ensemble, evidence, stand), leg


def _ready(stand: Stand, check: Check) -> Stand:
    return stand.ready_for(check.state, check.covers, check.plugs)


def _minutes_from(stand: Stand, check: Check) -> float:
    """Minutes of a check with the preparation it needs from here."""
    way = _way(stand.bare, check.state, check.covers, check.plugs)
    return way + max(minutes_of(check.verb, check.arguments), 0.1)


@lru_cache(maxsize=4096)
def _way(stand: Stand, state: str, covers: tuple[str, ...], plugs: tuple[str, ...]) -> float:
    actions = stand.ready_for(state, covers, plugs).actions
    return sum(minutes_of(verb, arguments) for verb, arguments in actions)


def _minutes(actions: Sequence[Action], check: Check) -> float:
    total = sum(minutes_of(verb, arguments) for verb, arguments in actions)
    return total + max(minutes_of(check.verb, check.arguments), 0.1)
