"""Writes the reliability table and its plot for the instructor's guide: ``parked-hvac judge calibrate``."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from parked_hvac.diagnosis.calibration import LATE, MANY, Played, play
from parked_hvac.diagnosis.reliability import draw_plot
from parked_hvac.diagnosis.walk import DRAWS
from parked_hvac.job.order import Order, orders

MOST_ERROR = 0.03
"""Expected calibration error that is allowed."""
_SHORT_FOR_ONE_LONG = 10
"""Orders of few checks played for each one of many, which takes as long as five."""
_NAMED = ("night-call", "first-look", "two-feeds", "hot-afternoon", "heat-that-stays")


def chosen_orders() -> tuple[Order, ...]:
    """Orders of several lessons, from one fault to two and none."""
    known = orders()
    return tuple(known[name] for name in _NAMED if name in known)


def page(played: Played, count: int, long: Played, long_count: int) -> str:
    """The result as a page in Markdown; ``long`` are orders of many checks."""
    each, end, late = played.after_each(), played.at_the_end(), long.late()
    return "\n".join(
        [
            "# How far the judge's probabilities can be trusted",
            "",
            f"Made by `parked-hvac judge calibrate --out solutions`: {count} simulated orders, {DRAWS} trucks for each cause,",
            "hidden causes drawn as probable as the judge holds them, checks at random. Not edited by hand.",
            "",
            "A cause called 90 % probable should be right 90 % of the time. 'Said' is the probability of the likeliest cause.",
            "",
            "![Probability said against share that was right](reliability.svg)",
            "",
            "## After each reading",
            "",
            each.table(),
            "",
            f"Expected calibration error {each.error:.3f} (limit {MOST_ERROR}); by chance alone {each.chance_error:.3f}.",
            "",
            "## After the last reading of each order",
            "",
            end.table(),
            "",
            f"Expected calibration error {end.error:.3f} (limit {MOST_ERROR}); by chance alone {end.chance_error:.3f}.",
            "",
            "## After many readings",
            "",
            f"{long_count} more orders, where {MANY[0]} to {MANY[1]} checks are ticked off; each reading after the first {LATE}.",
            "A truck's readings hang together the more the more there are, so that these count less and less.",
            "",
            late.table(),
            "",
            f"Expected calibration error {late.error:.3f}; as all readings of an order are right or wrong together, chance",
            f"alone makes more of it here than the {late.chance_error:.3f} of as many orders of their own.",
            "",
        ]
    )


@dataclass(frozen=True)
class Errors:
    """Expected calibration errors, 0 to 1: over all readings, and over the last reading of each order."""

    after_each: float
    at_the_end: float

    @property
    def kept(self) -> bool:
        """Whether both are small enough."""
        return max(self.after_each, self.at_the_end) <= MOST_ERROR


def long_orders(count: int) -> int:
    """How many orders of many checks are played beside ``count`` of few."""
    return math.ceil(count / _SHORT_FOR_ONE_LONG)


def calibrate(count: int, into: Path, tell: Callable[[int], None]) -> Errors:
    """Play so many simulated orders, and some long ones, and write reliability.md and reliability.svg into a folder.

    tell: called with how many orders were just played.
    """
    played = play(chosen_orders(), count, tell=tell)
    long_count = long_orders(count)
    long = play(chosen_orders(), long_count, tell=tell, checks_each=MANY)
    into.mkdir(parents=True, exist_ok=True)
    (into / "reliability.md").write_text(page(played, count, long, long_count), encoding="utf-8")
    draw_plot(played.after_each(), into / "reliability.svg")
    return Errors(played.after_each().error, played.at_the_end().error)
