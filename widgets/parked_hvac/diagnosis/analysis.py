"""What the learner's own readings make of the candidates, step by step.

Two rounds. A few draws of every candidate go through the learner's actions first; most candidates are then
out of the question. Those that are not go through them again with many draws, which weigh them finely. Both
rounds put every reading's probability in the same measure: the second shifts the first to agree on average.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from parked_hvac.diagnosis.candidates import NOTHING, Candidate, candidates, prior
from parked_hvac.diagnosis.cast import Cast
from parked_hvac.diagnosis.ensemble import Ensemble, log_sum
from parked_hvac.diagnosis.information import (
    entropy_bits,
    expected_information_bits,
    gained_bits,
    ruled_out,
)
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.posterior import Evidence, no_evidence
from parked_hvac.diagnosis.predictions import Step, foretell
from parked_hvac.job.order import Order
from parked_hvac.rig.parameters import Parameters

SCOUTS = 4
"""Trucks of each candidate in the first round ..."""
SOUND = 12
"""... and sets of tolerances."""
DRAWS = 24
"""Trucks of each candidate left in the second round, each with its own set of tolerances."""
KEEP = 1e-3
"""A candidate at least this probable after the first round goes into the second ..."""
MOST_KEPT = 12
"""... but no more than these."""
LEAST_KEPT = 4


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


def analyse(order: Order, steps: Sequence[Step], truck: Parameters) -> Analysis:
    """Run every candidate and the learner's truck (one draw) through the steps, and weigh the candidates."""
    among = candidates(order.causes)
    first = _weighed(Cast(among, SCOUTS, SOUND), order, steps, truck)
    kept = _kept(among, first.evidence[-1].posterior)
    second = _weighed(Cast(tuple(among[i] for i in kept), DRAWS, DRAWS), order, steps, truck)
    return _told(among, first, _joined(first, second, kept))


@dataclass(frozen=True)
class _Round:
    """One round: log probability of each reading (T, C), and what was known and expected before each."""

    numbers: tuple[int, ...]
    log_readings: Floats
    evidence: tuple[Evidence, ...]  # T + 1
    expected: tuple[float, ...]
    telling: tuple[float, ...]


def _weighed(cast: Cast, order: Order, steps: Sequence[Step], truck: Parameters) -> _Round:
    foretold = foretell(order, steps, cast, truck)
    told, seen = foretold.told, foretold.seen
    unread = cast.unread.taken(cast.own)
    ensemble: Ensemble = cast.unread
    evidence = [no_evidence(cast.prior)]
    rows, expected, telling = [], [], []
    numbers = tuple(sorted(told))
    for n in numbers:
        now = evidence[-1]
        own = [told[n].taken(cast.own)]
        expected.append(
            float(expected_information_bits(ensemble.taken(cast.own).forecast(own), now.posterior)[0])
        )
        telling.append(float(expected_information_bits(unread.forecast(own), cast.prior)[0]))
        ensemble, log_reading = ensemble.observe(told[n], seen[n])
        rows.append(log_reading)
        evidence.append(now.after(log_reading))
    table = np.array(rows).reshape(len(rows), len(cast.among))
    return _Round(numbers, table, tuple(evidence), tuple(expected), tuple(telling))


def _kept(among: tuple[Candidate, ...], posterior: Floats) -> tuple[int, ...]:
    """Indices of the candidates for the second round, 'nothing wrong' always among them."""
    likely = np.argsort(-posterior)
    enough = [int(i) for i in likely[:MOST_KEPT] if posterior[i] >= KEEP]
    chosen = set(enough) | {int(i) for i in likely[:LEAST_KEPT]}
    chosen |= {i for i, candidate in enumerate(among) if candidate.name == NOTHING}
    return tuple(sorted(chosen))


def _joined(first: _Round, second: _Round, kept: tuple[int, ...]) -> Floats:
    """Log probability of each reading (T, C): the second round's for those kept, the first's shifted for the rest."""
    joined = first.log_readings.copy()
    chosen = list(kept)
    for t in range(len(first.numbers)):
        share = first.evidence[t].posterior[chosen]
        log_share = np.log(np.maximum(share / share.sum(), 1e-300))
        shift = log_sum(log_share + second.log_readings[t]) - log_sum(
            log_share + first.log_readings[t, chosen]
        )
        joined[t] += shift
        joined[t, chosen] = second.log_readings[t]
    return joined


def _told(among: tuple[Candidate, ...], once: _Round, log_readings: Floats) -> Analysis:
    before = no_evidence(prior(among))
    learned = []
    for t, n in enumerate(once.numbers):
        after = before.after(log_readings[t])
        out_before, out_after = ruled_out(before.log_likelihood), ruled_out(after.log_likelihood)
        learned.append(
            Learned(
                n=n,
                posterior=after.posterior,
                entropy_bits=entropy_bits(after.posterior),
                gained_bits=gained_bits(before.posterior, after.posterior),
                expected_bits=once.expected[t],
                telling_bits=once.telling[t],
                newly_out=tuple(among[i].name for i in np.flatnonzero(out_after & ~out_before)),
                left=int((~out_after).sum()),
            )
        )
        before = after
    return Analysis(among, prior(among), tuple(learned))
