"""What every draw of every candidate shows when the learner's own actions are done to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from parked_hvac.diagnosis.candidates import NOTHING
from parked_hvac.diagnosis.cast import Cast
from parked_hvac.diagnosis.prediction import Observed, Prediction
from parked_hvac.instruments.outcome import Outcome
from parked_hvac.job.order import Order
from parked_hvac.job.session import Session
from parked_hvac.rig.parameters import Parameters, join

_OWN_METER = frozenset({"measure", "prove_meter", "touch_leads"})


@dataclass(frozen=True)
class Step:
    """One action of an attempt; ``n`` counts from 1."""

    n: int
    verb: str
    arguments: Mapping[str, Any]


@dataclass(frozen=True)
class Foretold:
    """What the candidates show at each reading, by step number, and what the learner's truck shows among them."""

    told: Mapping[int, Prediction]
    seen: Mapping[int, Observed]


def foretell(order: Order, steps: Sequence[Step], cast: Cast, truck: Parameters) -> Foretold:
    """Take the steps on all trucks of a cast and on the learner's truck (one draw), side by side.

    Many trucks keep time in coarser steps than one, so that a voltage that creeps, or a compressor that cycles, may
    stand elsewhere at the same minute. The learner's truck therefore runs with the others, and is compared with them as
    it stands there.
    """
    session = Session(order, join([cast.trucks(), truck]), context=False)
    told, seen = {}, {}
    for step in steps:
        event = session.apply(step.verb, step.arguments)
        if event.reading is not None:
            told[step.n] = prediction(step.verb, event.reading, cast)
            seen[step.n] = observed(event.reading, -1)
    return Foretold(told, seen)


def prediction(verb: str, outcome: Outcome, cast: Cast) -> Prediction:
    """An instrument's outcome on all trucks of a cast as a prediction."""
    nothing = [candidate.name for candidate in cast.among].index(NOTHING)
    return cast.prediction(outcome.values, outcome.words, scatter(verb, outcome), nothing)


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
