"""How probable each candidate is after the readings so far.

Chain rule: the probability of all readings is that of the first, times that of the second given the
first, and so on; each factor is a proper density of the coming reading, made from what was seen before.
A candidate stands for its draws and, with the small share STRAY, for a truck that none of them resembles;
there every reading is as probable as on the average of all candidates. So one odd reading cannot zero a
cause, and the same odd reading written down ten times counts once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from parked_hvac.diagnosis.ensemble import Ensemble, fresh, log_sum
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.prediction import Observed, Prediction

STRAY = 0.02
"""Share of a cause's trucks that its draws do not resemble; it caps what evidence can say at about 98 %."""

FAINT = 1e-3
"""Share of a candidate's probability that its draws bring, the rest being STRAY's, below which they are past counting."""

COUNTED = ((0, 0.9), (7, 0.76), (8, 0.75), (12, 0.75), (27, 0.3))
"""Share to which a reading of a truck counts, by how many were taken before it, evenly between these. A truck's
readings hang together more than a few dozen draws can tell, so that taken in full they make a cause look surer than it
is, the more so the more there are (tempered likelihood: P. Grünwald, T. van Ommen, Bayesian Anal. 12, 2017, from memory).
Found by calibration on other trucks than those of the table in solutions/: one share for all readings, 0.85, left the
end of an order 0.04 too sure, 0.75 its beginning too unsure. Three quarters to the end of a long list made a wrong cause
certain on the way with 17 % of some hundred trucks read 87 times over, three tenths with 7 %; with one tenth fewer true
causes became certain, 71 % and not 80 %."""


def bayes(prior: Floats, likelihood: Floats) -> Floats:
    """Posterior (C,) from prior (C,) and likelihood (C,); ValueError where no candidate allows what was seen."""
    joint = prior * likelihood
    total = float(joint.sum())
    if not total > 0:
        raise ValueError(
            "No candidate allows what was seen; add the missing candidate or give it some likelihood."
        )
    posterior: Floats = joint / total
    return posterior


@dataclass(frozen=True)
class Evidence:
    """What all readings say so far of candidates with prior (C,), which sums to 1."""

    prior: Floats
    log_drawn: Floats  # (C,) log probability of all readings under the draws
    log_stray: float  # the same for the average of all candidates
    readings: int = 0  # how many there were

    @property
    def log_likelihood(self) -> Floats:
        """Log probability of the readings under each candidate (C,), up to a constant that all share."""
        each: Floats = np.logaddexp(np.log(1 - STRAY) + self.log_drawn, np.log(STRAY) + self.log_stray)
        return each

    @property
    def resembling(self) -> NDArray[np.bool_]:
        """Candidates (C,) whose draws still count beside a truck that none of them resembles."""
        alone = np.log(1 - STRAY) + self.log_drawn - np.log(STRAY) - self.log_stray
        near: NDArray[np.bool_] = alone > np.log(FAINT)
        return near

    @property
    def posterior(self) -> Floats:
        """Probability of each candidate (C,), sums to 1."""
        weight = np.log(self.prior) + self.log_likelihood
        weight = np.exp(weight - weight.max())
        result: Floats = weight / weight.sum()
        return result

    def after(self, log_reading: Floats, among: NDArray[np.intp] | None = None) -> Evidence:
        """With one more reading, to which the draws of each candidate gave the log probability (C,).

        among: the candidates (K,) that log_reading (K,) is of, None for all. Those that were not asked keep their stand.
        """
        asked = np.arange(self.prior.size) if among is None else among
        weight = np.log(np.maximum(self.posterior[asked], 1e-300))
        pooled = float(log_sum(weight + log_reading) - log_sum(weight))
        each = np.full(self.prior.size, pooled)
        each[asked] = log_reading
        return replace(
            self,
            log_drawn=self.log_drawn + each,
            log_stray=self.log_stray + pooled,
            readings=self.readings + 1,
        )

    def after_one_of_many(self, log_reading: Floats, among: NDArray[np.intp] | None = None) -> Evidence:
        """The same for a reading of a whole truck, which counts the less the more were taken before it."""
        before, shares = zip(*COUNTED, strict=True)
        return self.after(float(np.interp(self.readings, before, shares)) * log_reading, among)


def no_evidence(prior: Floats) -> Evidence:
    """Before the first reading; prior (C,) of any scale above 0."""
    if not (prior > 0).all():
        raise ValueError(f"The prior holds {prior.min()}; give each candidate a number above 0.")
    return Evidence(prior / prior.sum(), np.zeros(prior.size), 0.0)


@dataclass(frozen=True)
class Belief:
    """Candidates by name with their draws and what the readings say of them."""

    names: tuple[str, ...]
    evidence: Evidence
    ensemble: Ensemble

    @property
    def posterior(self) -> Floats:
        """Probability of each candidate (C,), sums to 1."""
        return self.evidence.posterior

    def probability(self, name: str) -> float:
        """Probability of one candidate; KeyError for an unknown one."""
        if name not in self.names:
            raise KeyError(f"{name!r} is no candidate; choose one of {', '.join(self.names)}.")
        return float(self.posterior[self.names.index(name)])

    def observe(self, prediction: Prediction, seen: Observed) -> Belief:
        """The belief after one more reading."""
        ensemble, log_reading = self.ensemble.observe(prediction, seen)
        return replace(self, ensemble=ensemble, evidence=self.evidence.after(log_reading))


def start(names: Sequence[str], prior: Floats, draws: int) -> Belief:
    """The belief before any reading: prior (C,) of any scale, ``draws`` equal draws for each candidate."""
    if prior.shape != (len(names),):
        raise ValueError(f"The prior {prior} does not fit {len(names)} candidates; give one number each.")
    return Belief(tuple(names), no_evidence(prior), fresh(len(names), draws))
