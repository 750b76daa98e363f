"""The judge judged: made-up learners play orders through the real score; are they ranked as a person would rank them?"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import msgspec
import numpy as np

from parked_hvac.assessment.simulated import LEARNERS
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import draw_ticket

ABLE = ("best-path expert", "fixed-procedure follower")
"""Those who must stand above all others."""
LIMITS: dict[str, tuple[str, float]] = {
    "best-path expert": ("at least", 92.0),
    "fixed-procedure follower": ("at least", 80.0),
    "measures everything": ("at most", 75.0),
    "misreader": ("at most", 70.0),
    "random prober": ("at most", 45.0),
    "unsafe expert": ("at most", 40.0),
    "parts changer": ("at most", 30.0),
    "lucky guesser": ("at most", 25.0),
}
"""Mean points over all orders that the design of the course asks for."""
LEAST_AREA = 0.99
WIDEST = 5.0
"""Points by which a learner's means over two halves of an order's trucks may lie apart."""


class Result(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One made-up learner at one order, on one variant of the truck."""

    order: str
    variant: str
    cause: str
    learner: str
    total: float
    parts: dict[str, float]
    certainty: float
    minutes: float
    best_minutes: float


def results(
    orders: Sequence[str],
    variants: int,
    say: Callable[[int, int, str], None],
    learners: Sequence[str] = tuple(LEARNERS),
    done: Collection[tuple[str, str, str]] = (),
) -> Iterator[Result]:
    """Let each learner play each order on so many variants, but for those (order, variant, learner) that are done.

    say(number, of, what) is told before each play.
    """
    whole, played = len(orders) * variants * len(learners), 0
    for order in orders:
        # All variants of an order in a row: they share what its candidates show.
        for number in range(1, variants + 1):
            variant = f"V{number:03}"
            ticket = draw_ticket(order_named(order), variant)
            for learner in learners:
                say(played, whole, f"{order} {variant} {learner}")
                played += 1
                if (order, variant, learner) in done:
                    continue
                made = LEARNERS[learner](ticket).score
                yield Result(
                    order=order,
                    variant=variant,
                    cause=made.cause,
                    learner=learner,
                    total=made.total,
                    parts={part.name: part.points for part in made.parts},
                    certainty=round(made.certainty, 4),
                    minutes=round(made.minutes, 1),
                    best_minutes=round(made.best_minutes, 1),
                )


@dataclass(frozen=True)
class Standing:
    """How one learner fared over everything that was played."""

    learner: str
    plays: int
    mean: float
    lowest: float
    highest: float
    apart: float
    """Largest distance, in points, between the means over every second truck of an order and over the others."""
    off: float
    """Largest distance, in points, of the mean over one cause's trucks from the mean over its order."""
    limit: str
    kept: bool


def standings(played: Sequence[Result]) -> tuple[Standing, ...]:
    """A line for each learner who played, with the limit of the design and whether it is kept."""
    found = []
    for learner, (side, limit) in LIMITS.items():
        own = [one for one in played if one.learner == learner]
        if not own:
            continue
        totals = [one.total for one in own]
        mean = float(np.mean(totals))
        kept = mean >= limit if side == "at least" else mean <= limit
        found.append(
            Standing(
                learner,
                len(own),
                mean,
                min(totals),
                max(totals),
                _apart(own),
                _off(own),
                f"{side} {limit:g}",
                kept,
            )
        )
    return tuple(found)


def area_under_roc(played: Sequence[Result]) -> float:
    """Probability that an able learner's attempt has more points than another's; ties count half.

    The area under the curve of true over false positives (J. A. Hanley, B. J. McNeil, Radiology 143, 1982).
    """
    able, others = _split(played)
    above = (able[:, None] > others[None, :]).mean() + 0.5 * (able[:, None] == others[None, :]).mean()
    return float(above)


def roc(played: Sequence[Result]) -> tuple[Floats, Floats]:
    """Share of the others (K,) and of the able (K,) who reach each pass mark, from the highest mark down."""
    able, others = _split(played)
    marks = np.concatenate([[np.inf], np.unique(np.concatenate([able, others]))[::-1]])
    return (others[None, :] >= marks[:, None]).mean(axis=1), (able[None, :] >= marks[:, None]).mean(axis=1)


def _split(played: Sequence[Result]) -> tuple[Floats, Floats]:
    able = np.array([one.total for one in played if one.learner in ABLE])
    others = np.array([one.total for one in played if one.learner not in ABLE])
    return able, others


def _apart(own: Sequence[Result]) -> float:
    """Largest distance between the means over every second truck of an order and over the others."""
    largest = 0.0
    for same in _by_order(own):
        halves = [[one.total for one in same if int(one.variant[1:]) % 2 == rest] for rest in (0, 1)]
        if all(halves):
            largest = max(largest, abs(float(np.mean(halves[0]) - np.mean(halves[1]))))
    return largest


def _off(own: Sequence[Result]) -> float:
    """Largest distance of a cause's mean from its order's mean."""
    largest = 0.0
    for same in _by_order(own):
        mean = np.mean([one.total for one in same])
        for cause in {one.cause for one in same}:
            part = np.mean([one.total for one in same if one.cause == cause])
            largest = max(largest, abs(float(part - mean)))
    return largest


def _by_order(own: Sequence[Result]) -> Iterator[list[Result]]:
    for _, group in groupby(sorted(own, key=lambda one: one.order), key=lambda one: one.order):
        yield list(group)
