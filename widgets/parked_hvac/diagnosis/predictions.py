"""Readings of trucks as the judge compares them: what the candidates show, and what the learner's truck shows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from parked_hvac.diagnosis.prediction import Observed, Prediction, foretelling
from parked_hvac.instruments.outcome import Outcome

_OWN_METER = frozenset({"measure", "prove_meter", "touch_leads"})


@dataclass(frozen=True)
class Step:
    """One action of an attempt; ``n`` counts from 1."""

    n: int
    verb: str
    arguments: Mapping[str, Any]
    echo: bool = False
    """Whether it is a reading that only repeats an earlier one: time that passes, and no evidence."""


def prediction(verb: str, outcome: Outcome, count: int) -> Prediction:
    """An instrument's outcome as a prediction; ``count`` trucks stand for each candidate, one candidate after the other."""
    shape = (-1, count)
    sigma = scatter(verb, outcome)
    return foretelling(outcome.values.reshape(shape), outcome.words.reshape(shape), sigma.reshape(shape))


def scatter(verb: str, outcome: Outcome) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """One standard deviation of what the reading may be off by, beyond what the draws already hold.

    The meter's own gain error is a tolerance of each draw, common to all its readings, so only the last digit
    remains; other instruments keep their full accuracy.
    """
    if verb in _OWN_METER:
        return np.asarray(outcome.resolution / np.sqrt(12.0))
    return outcome.sigma


def observed(outcome: Outcome, draw: int = 0) -> Observed:
    """What one draw showed."""
    return Observed(float(outcome.values[draw]), str(outcome.words[draw]))
