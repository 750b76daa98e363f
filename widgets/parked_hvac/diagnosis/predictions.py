"""What every draw of every candidate shows when the learner's own actions are done to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from parked_hvac.diagnosis.prediction import Observed, Prediction, from_batch
from parked_hvac.instruments.outcome import Outcome
from parked_hvac.job.order import Order
from parked_hvac.job.session import Session
from parked_hvac.rig.parameters import Parameters

_OWN_METER = frozenset({"measure", "prove_meter", "touch_leads"})


@dataclass(frozen=True)
class Step:
    """One action of an attempt; ``n`` counts from 1."""

    n: int
    verb: str
    arguments: Mapping[str, Any]


def foretell(order: Order, steps: Sequence[Step], trucks: Parameters, candidates: int) -> dict[int, Prediction]:
    """Predictions by step number, for the steps that read; trucks: C · N draws, one candidate after the other."""
    session = Session(order, trucks, context=False)
    found = {}
    for step in steps:
        event = session.apply(step.verb, step.arguments)
        if event.reading is not None:
            found[step.n] = prediction(step.verb, event.reading, candidates)
    return found


def prediction(verb: str, outcome: Outcome, candidates: int) -> Prediction:
    """An instrument's outcome as a prediction (C, N)."""
    return from_batch(outcome.values, outcome.words, scatter(verb, outcome), candidates)


def scatter(verb: str, outcome: Outcome) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """One standard deviation of what the reading may be off by, beyond what the draws already hold.

    The meter's own gain error is a tolerance of each draw, common to all its readings, so only the last digit
    remains; other instruments keep their full accuracy.
    """
    if verb in _OWN_METER:
        return outcome.resolution / np.sqrt(12.0)
    return outcome.sigma


def observed(outcome: Outcome) -> Observed:
    """What the learner's own truck showed."""
    return Observed(float(outcome.values[0]), str(outcome.words[0]))
