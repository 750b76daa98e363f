"""What the learner's own readings make of the candidates, step by step."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from parked_hvac.diagnosis.candidates import NOTHING, Candidate
from parked_hvac.diagnosis.information import (
    entropy_bits,
    expected_information_bits,
    gained_bits,
    likely_causes,
    ruled_out,
)
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.posterior import no_evidence
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
    sound: Mapping[int, Prediction] = field(repr=False)
    """What trucks with nothing wrong show at each reading, (1, N), by number of its action."""

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the candidates."""
        return tuple(candidate.name for candidate in self.candidates)

    @property
    def posterior(self) -> Floats:
        """Probability of each candidate after the last reading (C,)."""
        return self.learned[-1].posterior if self.learned else self.prior

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


def analyse(walk: Walk, steps: Sequence[Step], seen: Mapping[int, Observed]) -> Analysis:
    """Weigh an order's candidates by what the learner's truck showed at each reading of the steps, by number."""
    cast, told = walk.cast, walk.foretell(steps)
    unread, ensemble = cast.unread, cast.unread
    before = no_evidence(cast.prior)
    learned = []
    for n in sorted(told):
        posterior = before.posterior
        likely = likely_causes(posterior, _FAINT, _LEAST_CAUSES)
        forecast = ensemble.of(likely).forecast([told[n].of(likely)])
        expected = expected_information_bits(forecast, posterior[likely] / posterior[likely].sum())
        ensemble, log_reading = ensemble.observe(told[n], seen[n])
        after = before.after(log_reading)
        out_before, out_after = ruled_out(before.log_likelihood), ruled_out(after.log_likelihood)
        learned.append(
            Learned(
                n=n,
                posterior=after.posterior,
                entropy_bits=entropy_bits(after.posterior),
                gained_bits=gained_bits(posterior, after.posterior),
                expected_bits=float(expected[0]),
                telling_bits=float(expected_information_bits(unread.forecast([told[n]]), cast.prior)[0]),
                newly_out=tuple(cast.names[i] for i in np.flatnonzero(out_after & ~out_before)),
                left=int((~out_after).sum()),
            )
        )
        before = after
    nothing = np.array([cast.names.index(NOTHING)])
    sound = {n: prediction.of(nothing) for n, prediction in told.items()}
    return Analysis(cast.among, cast.prior, tuple(learned), sound)
