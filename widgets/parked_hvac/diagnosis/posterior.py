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

from parked_hvac.diagnosis.kernel import Floats, effective_draws, log_bell, widths, word_match
from parked_hvac.diagnosis.prediction import Observed, Prediction, Words
from parked_hvac.diagnosis.regression import Past, move

STRAY = 0.01
"""Share of a cause's trucks that its draws do not resemble; it caps what any evidence can say at about 99 %."""
_SIGMA_FLOOR = 1e-9  # keeps a reading without scatter, such as a count of lamps, from dividing by zero


def bayes(prior: Floats, likelihood: Floats) -> Floats:
    """Posterior (C,) from prior (C,) and likelihood (C,) of what was seen; ValueError where both are zero everywhere."""
    joint = prior * likelihood
    total = float(joint.sum())
    if not total > 0:
        raise ValueError(
            "No candidate allows what was seen; add the missing candidate or give it some likelihood."
        )
    posterior: Floats = joint / total
    return posterior


@dataclass(frozen=True)
class Forecast:
    """Coming readings given the past: draws, width (M, C, N), nan where a word; words, weights as they stand now."""

    draws: Floats
    width: Floats
    words: Words  # (M, C, N)
    weights: Floats  # (C, N)
    posterior: Floats  # (C,)


@dataclass(frozen=True)
class Belief:
    """What is known: candidates with prior (C,), weights of their draws (C, N) and the readings seen."""

    names: tuple[str, ...]
    prior: Floats
    weights: Floats
    log_drawn: Floats  # (C,) log probability of all readings under the draws
    log_stray: float  # the same for the average of all candidates
    past: Past

    @property
    def posterior(self) -> Floats:
        """Probability of each candidate (C,), sums to 1."""
        log_each = np.logaddexp(np.log(1 - STRAY) + self.log_drawn, np.log(STRAY) + self.log_stray)
        weight = np.log(self.prior) + log_each
        weight = np.exp(weight - weight.max())
        result: Floats = weight / weight.sum()
        return result

    @property
    def log_likelihood(self) -> Floats:
        """Log probability of the readings seen under each candidate (C,), up to a constant that all share."""
        each: Floats = np.logaddexp(np.log(1 - STRAY) + self.log_drawn, np.log(STRAY) + self.log_stray)
        return each

    def probability(self, name: str) -> float:
        """Probability of one candidate; KeyError for an unknown one."""
        if name not in self.names:
            raise KeyError(f"{name!r} is no candidate; choose one of {', '.join(self.names)}.")
        return float(self.posterior[self.names.index(name)])

    def forecast(self, predictions: Sequence[Prediction]) -> Forecast:
        """What each candidate now expects of M coming readings."""
        values = np.stack([np.where(p.is_number, p.values, np.nan) for p in predictions])
        sigma = np.stack([p.sigma for p in predictions])
        moved = move(self.past, self.weights, values)
        width = widths(moved.draws, np.broadcast_to(self.weights, values.shape))
        total = np.sqrt(width**2 + sigma**2 + moved.extra**2)
        total = np.maximum(total, _SIGMA_FLOOR)
        words = np.stack([np.where(p.is_number, "", p.words) for p in predictions])
        return Forecast(moved.draws, total, words, self.weights, self.posterior)

    def observe(self, prediction: Prediction, seen: Observed) -> Belief:
        """The belief after one more reading."""
        forecast = self.forecast([prediction])
        per_draw = _log_probability(forecast, prediction, seen)
        log_reading = _log_sum(np.log(np.maximum(self.weights, 1e-300)) + per_draw)
        pooled = float(_log_sum(np.log(np.maximum(self.posterior, 1e-300)) + log_reading))
        share = 0.5 if seen.is_number else 1.0 / 6.0
        weights = _tempered(self.weights, per_draw, share)
        return replace(
            self,
            weights=weights,
            log_drawn=self.log_drawn + log_reading,
            log_stray=self.log_stray + pooled,
            past=_remember(self.past, prediction, seen),
        )


def start(names: Sequence[str], prior: Floats, draws: int) -> Belief:
    """The belief before any reading: prior (C,) of any scale, ``draws`` equal draws for each candidate."""
    count = len(names)
    if prior.shape != (count,) or not (prior > 0).all():
        raise ValueError(f"The prior {prior} does not fit {count} candidates; give each a number above 0.")
    return Belief(
        names=tuple(names),
        prior=prior / prior.sum(),
        weights=np.full((count, draws), 1.0 / draws),
        log_drawn=np.zeros(count),
        log_stray=0.0,
        past=Past(np.empty((count, draws, 0)), np.empty(0), np.empty((count, 0))),
    )


def _log_probability(forecast: Forecast, prediction: Prediction, seen: Observed) -> Floats:
    """Log probability (density for a number) each draw gives to what was seen: (C, N)."""
    words = forecast.words[0]
    vocabulary = set(prediction.vocabulary()) | {"" if seen.is_number else seen.word}
    # One place more than the words known: what is seen may be new to all candidates.
    many = effective_draws(forecast.weights)[:, None]
    matches = np.log(_match(words, "" if seen.is_number else seen.word, many, len(vocabulary) + 1))
    if not seen.is_number:
        return matches
    number = words == ""
    centre = np.where(number, forecast.draws[0], 0.0)
    bell = log_bell(seen.value - centre, np.where(number, forecast.width[0], 1.0))
    # A draw that shows a word says nothing about the number seen: any number in the range of all draws.
    finite = forecast.draws[0][number]
    scatter = prediction.sigma[np.isfinite(prediction.sigma)]
    span = max(float(np.ptp(finite)) if finite.size else 0.0, float(scatter.max(initial=0.0)), _SIGMA_FLOOR)
    result: Floats = matches + np.where(number, bell, -np.log(span) - 1.0)
    return result


def _match(words: Words, seen: str, many: Floats, size: int) -> Floats:
    same = words == seen
    rows = [word_match(same[c], float(many[c, 0]), size) for c in range(same.shape[0])]
    return np.stack(rows)


def _log_sum(log_values: Floats) -> Floats:
    """log of the sum of exponentials along the last axis."""
    top = log_values.max(axis=-1, keepdims=True)
    total: Floats = np.log(np.exp(log_values - top).sum(axis=-1)) + top[..., 0]
    return total


def _tempered(weights: Floats, log_factor: Floats, share: float) -> Floats:
    """Weights times factor^b, the largest b in 0…1 that leaves at least ``share`` of the draws effective.

    Draws in another mode than the truck's (a drive that has cut out, say) must fade, but a handful of draws that
    fit best by chance must not stand for all (tempering as in R. M. Neal, Stat. Comput. 11, 2001, from memory).
    """
    least = np.minimum(effective_draws(weights), share * weights.shape[-1])
    low = np.zeros(weights.shape[0])
    high = np.ones(weights.shape[0])
    done = effective_draws(_scaled(weights, log_factor, high)) >= least
    for _ in range(20):
        middle = 0.5 * (low + high)
        enough = effective_draws(_scaled(weights, log_factor, middle)) >= least
        low = np.where(enough, middle, low)
        high = np.where(enough, high, middle)
    return _scaled(weights, log_factor, np.where(done, 1.0, low))


def _scaled(weights: Floats, log_factor: Floats, power: Floats) -> Floats:
    log_weight = np.log(np.maximum(weights, 1e-300)) + power[:, None] * log_factor
    weight = np.exp(log_weight - log_weight.max(axis=-1, keepdims=True))
    scaled: Floats = weight / weight.sum(axis=-1, keepdims=True)
    return scaled


def _remember(past: Past, prediction: Prediction, seen: Observed) -> Past:
    if not seen.is_number:
        return past
    values = np.where(prediction.is_number, prediction.values, np.nan)
    known = prediction.is_number
    sigma = np.where(known, prediction.sigma, 0.0).sum(axis=1) / np.maximum(known.sum(axis=1), 1)
    return Past(
        draws=np.concatenate([past.draws, values[:, :, None]], axis=2),
        seen=np.append(past.seen, seen.value),
        sigma=np.concatenate([past.sigma, sigma[:, None]], axis=1),
    )
