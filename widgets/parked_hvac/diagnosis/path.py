"""The best path found for one very truck: which checks, in which order, until the cause is certain.

Greedy, one step ahead: the check that promises most information per minute of work, preparation counted, then
the truck's own answer, then the next (J. de Kleer, B. C. Williams, Artificial Intelligence 32, 1987; cost after
D. Heckerman, J. S. Breese, K. Rommelse, Commun. ACM 38(3), 1995). Before it the steps that nobody may leave out: truck and
person prepared, meter proved, complaint confirmed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from parked_hvac.diagnosis.cast import Cast
from parked_hvac.diagnosis.checks import Check, checks
from parked_hvac.diagnosis.ensemble import Ensemble
from parked_hvac.diagnosis.information import entropy_bits, expected_information_bits
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.labour_time import minutes_of
from parked_hvac.diagnosis.posterior import Evidence, no_evidence
from parked_hvac.diagnosis.prediction import Observed, Prediction
from parked_hvac.diagnosis.states import Action, Stand

MOST_CHECKS = 30
LEAST_BITS = 0.05
"""A check that promises less is not taken: with a few draws so little cannot be told from chance."""
_OVERHEAD_MIN = 0.5
"""Added to the minutes of each check when checks are compared: reading, thinking, writing down."""
_FAINT = 0.002
"""Causes less probable than this do not decide which check comes next ..."""
_LEAST_CAUSES = 8
"""... unless fewer than these would be left."""


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

    cast: Cast
    ensemble: Ensemble
    evidence: Evidence
    stand: Stand = field(default_factory=Stand)


class Search:
    """Looks for the path on the truck that answers so, one check after the other."""

    def __init__(
        self,
        cast: Cast,
        outlook: Mapping[str, Prediction],
        answers: Mapping[str, Observed],
        alike: Sequence[int],
    ) -> None:
        """Begin with the opening. alike: indices of the candidates whose joint probability decides."""
        self._outlook, self._answers, self._alike = outlook, answers, list(alike)
        self._quick = {key: told.taken(cast.own) for key, told in outlook.items()}
        self._place = Place(cast, cast.unread, no_evidence(cast.prior))
        self._taken: set[str] = set()
        self._legs: list[Leg] = []
        for check in opening():
            self._go(check)
        first = self._legs[0]
        minutes = first.minutes + minutes_of("prove_meter", {})
        self._legs[0] = replace(first, actions=(("prove_meter", {}), *first.actions), minutes=minutes)

    @property
    def path(self) -> Path:
        """The path so far."""
        return Path(tuple(self._legs))

    @property
    def certainty(self) -> float:
        """Probability of the causes that decide, as the search's few draws have it."""
        return float(self._place.evidence.posterior[self._alike].sum())

    def believe(self, posterior: Floats) -> None:
        """Go on from these probabilities (C,), found with more draws than the search has."""
        self._place = replace(self._place, evidence=no_evidence(np.maximum(posterior, 1e-12)))

    def until(self, goal: float) -> None:
        """Take checks until the causes that decide are this probable, or none is worth taking."""
        while self.certainty < goal and self.one_more():
            pass

    def one_more(self) -> bool:
        """Take the best next check; False where none is worth taking."""
        if len(self._taken) >= MOST_CHECKS:
            return False
        choices = next_checks(self._place, self._quick, self._taken, most=1)
        if choices:
            self._go(choices[0].check)
        return bool(choices)

    def _go(self, check: Check) -> None:
        self._place, leg = _take(self._place, check, self._outlook[check.key], self._answers[check.key])
        self._legs.append(leg)
        self._taken.add(check.key)


def next_checks(
    place: Place, quick: Mapping[str, Prediction], taken: set[str], most: int = 5
) -> tuple[Choice, ...]:
    """The checks that promise most information per minute from here, best first; quick: own draws of the outlook."""
    open_checks = [check for check in checks() if check.key not in taken]
    posterior = place.evidence.posterior
    causes = np.flatnonzero(posterior >= min(_FAINT, np.sort(posterior)[-min(_LEAST_CAUSES, posterior.size)]))
    ensemble = place.ensemble.taken(place.cast.own).of(causes)
    forecast = ensemble.forecast([quick[check.key].of(causes) for check in open_checks])
    bits = expected_information_bits(forecast, posterior[causes] / posterior[causes].sum())
    choices = [
        Choice(
            check, float(bit), _minutes(_ready(place.stand, check).actions[len(place.stand.actions) :], check)
        )
        for check, bit in zip(open_checks, bits, strict=True)
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
    evidence = place.evidence.after(log_reading)
    actions = (*stand.actions[before:], (check.verb, check.arguments))
    leg = Leg(
        check=check,
        actions=actions,
        minutes=_minutes(stand.actions[before:], check),
        entropy_bits=entropy_bits(evidence.posterior),
        posterior=evidence.posterior,
    )
    return Place(place.cast, ensemble, evidence, stand), leg


def _ready(stand: Stand, check: Check) -> Stand:
    return stand.ready_for(check.state, check.covers, check.plugs)


def _minutes(actions: Sequence[Action], check: Check) -> float:
    total = sum(minutes_of(verb, arguments) for verb, arguments in actions)
    return total + max(minutes_of(check.verb, check.arguments), 0.1)
