"""The draws of some candidates: what they expect of the next reading, and how they fade when they do not fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from parked_hvac.diagnosis.kernel import Floats, effective_draws, log_bell, widths, word_match
from parked_hvac.diagnosis.prediction import Observed, Places, Prediction
from parked_hvac.diagnosis.regression import Past, move
from parked_hvac.diagnosis.rows import arrays

TRUST = 0.7
"""How far the regression on past readings is trusted; the rest stays with the draws as they are. Where a unit cycles
on and off the regression fails, and a candidate must not lose more than the other share for that."""
_SIGMA_FLOOR = 1e-9  # keeps a reading without scatter, such as a count of lamps, from dividing by zero
_LEAST = 1e-300
_HALVINGS = 14  # of the range of a power that tempers


@dataclass(frozen=True)
class Forecast:
    """M coming readings given the past: draws (nan where a word), width, said (M, C, K); weights (C, K).

    K is N before the first number was seen; then 2 N: the draws moved to the past readings, and as they are.
    """

    draws: Floats
    width: Floats
    said: Places
    weights: Floats

    def of(self, candidates: NDArray[np.intp]) -> Forecast:
        """Only some of the candidates."""
        return Forecast(
            self.draws[:, candidates],
            self.width[:, candidates],
            self.said[:, candidates],
            self.weights[candidates],
        )


@dataclass(frozen=True)
class Ensemble:
    """Weights (C, N) of the draws, each row sums to 1, and the readings they have been measured against."""

    weights: Floats
    past: Past

    def forecast(
        self, predictions: Sequence[Prediction], resembling: NDArray[np.bool_] | None = None
    ) -> Forecast:
        """What each candidate now expects of M coming readings.

        resembling (C,): the candidates whose draws are moved to the past readings, the costly part; None for all.
        """
        values = np.stack([p.values for p in predictions])
        sigma = np.stack([p.sigma for p in predictions])
        said = np.stack([p.said for p in predictions])
        plain = self._width(values, sigma)
        if self.past.seen.size == 0:
            return Forecast(values, plain, said, self.weights)
        draws, width = values.copy(), plain.copy()
        near = np.arange(len(self.weights)) if resembling is None else np.flatnonzero(resembling)
        if near.size:
            some = self.of(near)
            moved = move(some.past, some.weights, values[:, near])
            draws[:, near] = moved.draws
            width[:, near] = some._width(moved.draws, np.hypot(sigma[:, near], moved.extra))
        return Forecast(
            draws=np.concatenate([draws, values], axis=-1),
            width=np.concatenate([width, plain], axis=-1),
            said=np.concatenate([said, said], axis=-1),
            weights=np.concatenate([TRUST * self.weights, (1 - TRUST) * self.weights], axis=-1),
        )

    def _width(self, draws: Floats, sigma: Floats) -> Floats:
        width = widths(draws, self.weights)
        return np.maximum(np.hypot(width, sigma), _SIGMA_FLOOR)

    def of(self, candidates: NDArray[np.intp]) -> Ensemble:
        """Only some of the candidates."""
        past = replace(self.past, draws=self.past.draws[candidates], sigma=self.past.sigma[candidates])
        return replace(self, weights=self.weights[candidates], past=past)

    def observe(
        self, prediction: Prediction, seen: Observed, forecast: Forecast | None = None
    ) -> tuple[Ensemble, Floats]:
        """The ensemble after a reading, and the log probability (C,) each candidate gave to what was seen.

        forecast: that of this one reading, where it is known already.
        """
        forecast = self.forecast([prediction]) if forecast is None else forecast
        per_draw = _log_probability(forecast, prediction, seen)
        log_joint = np.log(np.maximum(forecast.weights, _LEAST)) + per_draw
        log_reading = log_sum(log_joint)
        # A draw's own probability is that of its one or two places.
        places = log_joint.reshape(*self.weights.shape[:1], -1, self.weights.shape[1])
        log_draw = log_sum(np.moveaxis(places, 1, -1)) - np.log(np.maximum(self.weights, _LEAST))
        share = 0.5 if seen.is_number else 1.0 / 6.0
        weights = _tempered(self.weights, log_draw, share)
        return replace(self, weights=weights, past=_remember(self.past, prediction, seen)), log_reading


def fresh(candidates: int, draws: int) -> Ensemble:
    """Equal draws before any reading."""
    past = Past(np.empty((candidates, draws, 0)), np.empty(0), np.empty((candidates, 0)))
    return Ensemble(np.full((candidates, draws), 1.0 / draws), past)


def log_sum(log_values: Floats) -> Floats:
    """log of the sum of exponentials along the last axis."""
    top = log_values.max(axis=-1, keepdims=True)
    total: Floats = np.log(np.exp(log_values - top).sum(axis=-1)) + top[..., 0]
    return total


def _log_probability(forecast: Forecast, prediction: Prediction, seen: Observed) -> Floats:
    """Log probability (density for a number) each draw gives to what was seen: (C, N)."""
    said = forecast.said[0]
    # One place more than the words known: what is seen may be new to all candidates.
    known = set(np.unique(prediction.said).tolist()) | {prediction.place(seen)}
    many = effective_draws(forecast.weights)[:, None]
    matches = np.log(word_match(said == prediction.place(seen), many, len(known) + 1))
    if not seen.is_number:
        return matches
    number = said == 0
    centre = np.where(number, forecast.draws[0], 0.0)
    bell = log_bell(seen.value - centre, np.where(number, forecast.width[0], 1.0))
    # A draw that shows a word says nothing about the number seen: any number in the range of all draws.
    finite = forecast.draws[0][number]
    scatter = prediction.sigma[np.isfinite(prediction.sigma)]
    span = max(float(np.ptp(finite)) if finite.size else 0.0, float(scatter.max(initial=0.0)), _SIGMA_FLOOR)
    result: Floats = matches + np.where(number, bell, -np.log(span) - 1.0)
    return result


def _tempered(weights: Floats, log_factor: Floats, share: float) -> Floats:
    """Weights times factor^b, the largest b in 0…1 that leaves at least ``share`` of the draws effective.

    Draws in another mode than the truck's (a drive that has cut out, say) must fade, but a handful of draws
    that fit best by chance must not stand for all (tempering: R. M. Neal, Stat. Comput. 11, 2001, from memory).
    """
    least = np.minimum(effective_draws(weights), share * weights.shape[-1])
    log_weights = np.log(np.maximum(weights, _LEAST))
    return arrays.tempered(log_weights, log_factor, least, _HALVINGS)


def _remember(past: Past, prediction: Prediction, seen: Observed) -> Past:
    if not seen.is_number:
        return past
    known = prediction.is_number
    values = prediction.values
    sigma = np.where(known, prediction.sigma, 0.0).sum(axis=1) / np.maximum(known.sum(axis=1), 1)
    return Past(
        draws=np.concatenate([past.draws, values[:, :, None]], axis=2),
        seen=np.append(past.seen, seen.value),
        sigma=np.concatenate([past.sigma, sigma[:, None]], axis=1),
    )
