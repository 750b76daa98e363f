"""The causes that may lie behind a complaint, each with draws of its severity and of all tolerances."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

import numpy as np

from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.rig.faults import Fault, apply_fault, fault, faults
from parked_hvac.rig.parameters import Parameters, draw, join

NOTHING = "nothing_wrong"
_SEED = 20_251
"""Seed of the judge's own trucks. Whoever knows it knows tolerances of trucks that no learner has."""
LIKELY, UNLIKELY = 4.0, 0.05
"""What a complaint makes of a prior: it speaks for a cause, or can hardly come from it; common practice, no source."""
_PAIR_SHARE = 0.2
"""Prior of two causes at once beside the rarer of the two; common practice, no source."""


@dataclass(frozen=True)
class Candidate:
    """One possible cause: a fault, or faults together, with a prior weight of any scale."""

    name: str
    title: str
    faults: tuple[str, ...]
    prior: float


def candidates(
    groups: Iterable[tuple[str, ...]] = (), likely: Collection[str] = (), unlikely: Collection[str] = ()
) -> tuple[Candidate, ...]:
    """Every fault the course knows, 'nothing wrong' among them, and the given groups of faults together.

    A work order's pool narrows nothing: the learner does not know it. Only pairs have to be named. What the complaint itself
    makes likely or unlikely, which the learner reads too, is given by names of faults, of their families or groups.
    """

    def weight(name: str, one: Fault) -> float:
        known, prior = {name, *one.kinds}, one.prior
        return prior * (LIKELY if known & set(likely) else 1.0) * (UNLIKELY if known & set(unlikely) else 1.0)

    single = [Candidate(name, known.title, (name,), weight(name, known)) for name, known in faults().items()]
    pairs = [together(group) for group in dict.fromkeys(groups) if len(group) > 1]
    return (*single, *pairs)


def together(group: tuple[str, ...]) -> Candidate:
    """Several faults at once as one candidate."""
    known = [fault(name) for name in group]
    return Candidate(
        name=" + ".join(group),
        title=" and ".join(one.title for one in known),
        faults=group,
        prior=_PAIR_SHARE * min(one.prior for one in known),
    )


def prior(among: Iterable[Candidate]) -> Floats:
    """Prior probabilities (C,), sum 1."""
    weight = np.array([candidate.prior for candidate in among])
    return np.asarray(weight / weight.sum())


def draws(among: Iterable[Candidate], count: int, seed: int = _SEED) -> Parameters:
    """``count`` trucks of each candidate, one candidate after the other.

    All candidates have the same sets of tolerances, so that what differs between them is the fault alone.
    Severities are spread evenly over their range, and so is the place where equal parts may be hit.
    """
    generator = np.random.default_rng(seed)
    line = draw(count, generator)
    even = (np.arange(count) + 0.5) / count
    severity, place = generator.permutation(even), generator.permutation(even)
    made = []
    for candidate in among:
        trucks = line.copy()
        for turn, name in enumerate(candidate.faults):
            apply_fault(trucks, name, np.roll(severity, turn), np.roll(place, turn))
        made.append(trucks)
    return join(made)
