"""What the learner's own readings make of the candidates, step by step."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from parked_hvac.diagnosis.candidates import Candidate, candidates, draws, prior
from parked_hvac.diagnosis.information import (
    entropy_bits,
    expected_information_bits,
    gained_bits,
    ruled_out,
)
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.posterior import Belief, start
from parked_hvac.diagnosis.prediction import Observed, Prediction
from parked_hvac.diagnosis.predictions import Step, foretell
from parked_hvac.job.order import Order
from parked_hvac.rig.parameters import Parameters

DRAWS = 12
"""Draws of each candidate."""


@dataclass(frozen=True)
class Learned:
    """What one reading taught; ``n`` is the number of its action."""

    n: int
    posterior: Floats  # (C,) after it
    entropy_bits: float  # after it
    gained_bits: float
    expected_bits: float
    """What could be expected of it at that moment."""
    telling_bits: float
    """What it could tell someone who knew nothing yet: 0 means that it cannot tell anything in that state."""
    newly_out: tuple[str, ...]
    left: int
    """Candidates not ruled out after it."""


@dataclass(frozen=True)
class Analysis:
    """The candidates, and what each reading did to them."""

    candidates: tuple[Candidate, ...]
    prior: Floats
    learned: tuple[Learned, ...]
    belief: Belief

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the candidates."""
        return tuple(candidate.name for candidate in self.candidates)

    @property
    def posterior(self) -> Floats:
        """Probability of each candidate after the last reading (C,)."""
        return self.belief.posterior

    @property
    def start_bits(self) -> float:
        """Entropy before the first reading."""
        return entropy_bits(self.prior)

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


def analyse(order: Order, steps: Sequence[Step], seen: Mapping[int, Observed], count: int = DRAWS) -> Analysis:
    """Run every candidate through the steps and weigh them by what was seen; seen: by step number."""
    among = candidates(order.causes)
    told = foretell(order, steps, _trucks(among, count), len(among))
    return weigh(among, [(n, told[n], seen[n]) for n in sorted(told)], count)


def weigh(
    among: tuple[Candidate, ...], readings: Sequence[tuple[int, Prediction, Observed]], count: int
) -> Analysis:
    """The analysis of readings already foretold: (step number, prediction, what was seen), in order."""
    first = prior(among)
    unread = start([candidate.name for candidate in among], first, count)
    belief, learned = unread, []
    for n, prediction, seen in readings:
        after = belief.observe(prediction, seen)
        out_before, out_after = ruled_out(belief.log_likelihood), ruled_out(after.log_likelihood)
        newly = tuple(among[i].name for i in np.flatnonzero(out_after & ~out_before))
        learned.append(
            Learned(
                n=n,
                posterior=after.posterior,
                entropy_bits=entropy_bits(after.posterior),
                gained_bits=gained_bits(belief.posterior, after.posterior),
                expected_bits=float(expected_information_bits(belief.forecast([prediction]))[0]),
                telling_bits=float(expected_information_bits(unread.forecast([prediction]))[0]),
                newly_out=newly,
                left=int((~out_after).sum()),
            )
        )
        belief = after
    return Analysis(among, first, tuple(learned), belief)


@lru_cache(maxsize=4)
def _trucks(among: tuple[Candidate, ...], count: int) -> Parameters:
    return draws(among, count)
