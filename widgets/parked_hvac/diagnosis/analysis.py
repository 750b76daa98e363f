"""What the learner's own readings make of the candidates, step by step."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from parked_hvac.diagnosis.candidates import NOTHING, Candidate
from parked_hvac.diagnosis.cast import Cast
from parked_hvac.diagnosis.ensemble import Forecast
from parked_hvac.diagnosis.information import (
    entropy_bits,
    expected_information_bits,
    gained_bits,
    likely_causes,
    ruled_out,
)
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.posterior import Evidence, no_evidence
from parked_hvac.diagnosis.prediction import Observed, Prediction
from parked_hvac.diagnosis.predictions import Step
from parked_hvac.diagnosis.walk import Walk

_FAINT = 1e-4
"""Causes less probable than this add nothing worth counting to what a reading may tell ..."""
_LEAST_CAUSES = 8
"""... unless fewer than these would be left."""


@dataclass(frozen=True)
class Learned:
    """What one reading taught; ``n`` is the number of its action."""

    n: int
    posterior: Floats  # (C,) after it
    entropy_bits: float  # after it
    gained_bits: float
    expecting: Callable[[], float] = field(repr=False)
    """Works out ``expected_bits`` ..."""
    telling: Callable[[], float] = field(repr=False)
    """... and ``telling_bits``: of most readings nobody asks for them, and they take longest."""
    newly_out: tuple[str, ...]
    left: int
    """Candidates not ruled out after it."""

    @cached_property
    def expected_bits(self) -> float:
        """What could be expected of it at that moment."""
        return self.expecting()

    @cached_property
    def telling_bits(self) -> float:
        """What it could tell someone who knew nothing yet: 0 means that it cannot tell anything in that state.

        Nan where only the likeliest causes were looked at.
        """
        return self.telling()


@dataclass(frozen=True, eq=False)
class Weighed:
    """One reading among all: what was foretold, and what was known before and after it; equal to itself alone."""

    n: int
    told: Prediction
    forecast: Forecast  # what was expected of it, by what was read before
    before: Evidence
    after: Evidence
    among: NDArray[np.intp] | None = None
    """Candidates that ``told`` and ``forecast`` are of; None for all."""

    def of(self, candidate: int) -> Prediction:
        """What the trucks of one candidate show, (1, N)."""
        place = candidate if self.among is None else int(np.flatnonzero(self.among == candidate)[0])
        return self.told.of(np.array([place]))


@dataclass(frozen=True)
class Analysis:
    """The candidates, and what each reading did to them."""

    walk: Walk = field(repr=False)
    weighed: tuple[Weighed, ...] = field(repr=False)

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """All candidates, (C,)."""
        return self.walk.cast.among

    @property
    def prior(self) -> Floats:
        """Their probabilities before the first reading (C,)."""
        return self.walk.cast.prior

    @cached_property
    def learned(self) -> tuple[Learned, ...]:
        """What each reading taught, in order; worked out when first asked for."""
        return tuple(_learned(self.walk, one) for one in self.weighed)

    def sound(self, n: int) -> Prediction:
        """What trucks with nothing wrong show at the reading of action ``n``, (1, N)."""
        return next(one for one in self.weighed if one.n == n).of(self.names.index(NOTHING))

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the candidates."""
        return self.walk.cast.names

    @property
    def posterior(self) -> Floats:
        """Probability of each candidate after the last reading (C,)."""
        return self.weighed[-1].after.posterior if self.weighed else self.prior

    @property
    def start_bits(self) -> float:
        """Entropy before the first reading."""
        return entropy_bits(self.prior)

    @property
    def end_bits(self) -> float:
        """Entropy after the last reading."""
        return entropy_bits(self.posterior)

    def of(self, n: int) -> Learned | None:
        """What the reading of action ``n`` taught; None for an action without one."""
        return next((one for one in self.learned if one.n == n), None)

    def probability(self, name: str) -> float:
        """Probability of a candidate after the last reading; 0 for one that is none."""
        return float(self.posterior[self.names.index(name)]) if name in self.names else 0.0

    def ranked(self, most: int = 5) -> tuple[tuple[str, float], ...]:
        """The likeliest candidates with their probabilities, likeliest first."""
        order = np.argsort(-self.posterior)[:most]
        return tuple((self.names[i], float(self.posterior[i])) for i in order)


class Weighing:
    """The candidates of a cast weighed by one reading after the other."""

    def __init__(self, cast: Cast) -> None:
        self.ensemble = cast.unread
        self.evidence = no_evidence(cast.prior)
        self._among: NDArray[np.intp] | None = None

    def only(self, candidates: Sequence[int]) -> None:
        """Weigh these candidates alone, in the order of their places among all; the others keep their stand."""
        now = np.array(candidates)
        self.ensemble = self.ensemble.of(now if self._among is None else np.searchsorted(self._among, now))
        self._among = now

    def weigh(self, n: int, told: Prediction, seen: Observed) -> Weighed:
        """Weigh the reading of action ``n``."""
        before = self.evidence
        near = before.resembling if self._among is None else before.resembling[self._among]
        forecast = self.ensemble.forecast([told], near)
        self.ensemble, log_reading = self.ensemble.observe(told, seen, forecast)
        self.evidence = before.after_one_of_many(log_reading, self._among)
        return Weighed(n, told, forecast, before, self.evidence, self._among)


def weigh(cast: Cast, told: Mapping[int, Prediction], seen: Mapping[int, Observed]) -> Iterator[Weighed]:
    """Weigh the candidates by all readings, by number of action."""
    weighing = Weighing(cast)
    for n in sorted(told):
        yield weighing.weigh(n, told[n], seen[n])


def analyse(
    walk: Walk,
    steps: Sequence[Step],
    seen: Mapping[int, Observed],
    enough: Callable[[Floats], bool] | None = None,
) -> Analysis:
    """Weigh an order's candidates by what the learner's truck showed at each reading of the steps, by number.

    enough: tells of the posterior (C,) after a reading whether those that follow need not be weighed; None weighs all.
    """
    weighed = []
    for one in weigh(walk.cast, walk.foretell(steps), seen):
        weighed.append(one)
        if enough is not None and enough(one.after.posterior):
            break
    return Analysis(walk, tuple(weighed))


@lru_cache(maxsize=128)  # whoever looks at the first readings of an attempt alone has them again
def _learned(walk: Walk, one: Weighed) -> Learned:
    posterior, after = one.before.posterior, one.after.posterior
    was_out, is_out = ruled_out(one.before.log_likelihood), ruled_out(one.after.log_likelihood)
    return Learned(
        n=one.n,
        posterior=after,
        entropy_bits=entropy_bits(after),
        gained_bits=gained_bits(posterior, after),
        expecting=lambda: _expected_bits(one, posterior),
        telling=lambda: walk.telling_bits(one.told) if one.among is None else np.nan,
        newly_out=tuple(walk.cast.names[i] for i in np.flatnonzero(is_out & ~was_out)),
        left=int((~is_out).sum()),
    )


def _expected_bits(one: Weighed, posterior: Floats) -> float:
    """What could be expected of a reading by those who gave the candidates these probabilities (C,) before it."""
    likely = likely_causes(posterior, _FAINT, _LEAST_CAUSES)
    if one.among is not None:
        likely = likely[np.isin(likely, one.among)]
    forecast = one.forecast.of(likely if one.among is None else np.searchsorted(one.among, likely))
    return float(expected_information_bits(forecast, posterior[likely] / posterior[likely].sum())[0])
