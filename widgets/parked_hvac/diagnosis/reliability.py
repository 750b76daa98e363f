"""Whether causes called 90 % probable are right 90 % of the time: a table of ten bins, its error, and a plot.

Reliability diagram and expected calibration error after M. H. DeGroot, S. E. Fienberg, The Statistician 32, 1983, and
M. P. Naeini, G. Cooper, M. Hauskrecht, AAAI 2015; intervals after E. B. Wilson, J. Am. Stat. Assoc. 22, 1927; from memory.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from parked_hvac.diagnosis.kernel import Floats

BINS = 10
_Z = 1.96


@dataclass(frozen=True)
class Bin:
    """Statements with a probability from ``low`` up to ``high``: how many, what they said on average, how many were right."""

    low: float
    high: float
    count: int
    said: float
    right: float

    @property
    def interval(self) -> tuple[float, float]:
        """95 % interval of the share that is right (Wilson)."""
        n, p = self.count, self.right
        if n == 0:
            return 0.0, 1.0
        middle = (p + _Z**2 / (2 * n)) / (1 + _Z**2 / n)
        half = _Z / (1 + _Z**2 / n) * math.sqrt(p * (1 - p) / n + _Z**2 / (4 * n**2))
        return max(middle - half, 0.0), min(middle + half, 1.0)


@dataclass(frozen=True)
class Reliability:
    """The ten bins, and what lies between saying and being right."""

    bins: tuple[Bin, ...]
    chance_error: float
    """The error that as many statements would show by chance if every one were exactly as probable as said."""

    @property
    def count(self) -> int:
        """Statements in all."""
        return sum(one.count for one in self.bins)

    @property
    def error(self) -> float:
        """Expected calibration error: mean distance of said and right, 0 to 1, each bin by its count."""
        return sum(one.count * abs(one.said - one.right) for one in self.bins) / max(self.count, 1)

    def table(self) -> str:
        """The bins as a table in Markdown."""
        rows = [
            "| said | statements | on average | right | 95 % interval |",
            "| --- | --- | --- | --- | --- |",
        ]
        for one in self.bins:
            low, high = one.interval
            figures = f"{one.said:.3f} | {one.right:.3f} | {low:.3f} to {high:.3f}" if one.count else "| |"
            rows.append(f"| {one.low:.1f} to {one.high:.1f} | {one.count} | {figures} |")
        return "\n".join(rows)


def reliability(said: Floats, right: Sequence[bool] | Floats) -> Reliability:
    """Sort statements with probabilities said (n,) and whether each was right (n,) into bins."""
    hit = np.asarray(right, dtype=np.float64)
    generator = np.random.default_rng(1)
    by_chance = [_error(said, (generator.random(said.size) < said).astype(np.float64)) for _ in range(200)]
    return Reliability(_bins(said, hit), float(np.mean(by_chance)))


def draw_plot(found: Reliability, path: Path) -> None:
    """Draw said against right with intervals into a file; its ending tells the format (svg, png)."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(5.2, 5.2), layout="constrained")
    FigureCanvasAgg(figure)
    above, below = figure.subplots(2, 1, height_ratios=(4, 1), sharex=True)
    filled = [one for one in found.bins if one.count]
    said, right = [one.said for one in filled], [one.right for one in filled]
    reach = [
        [max(one.right - one.interval[0], 0.0) for one in filled],
        [max(one.interval[1] - one.right, 0.0) for one in filled],
    ]
    above.plot([0, 1], [0, 1], color="0.6", linestyle="--", label="as said")
    above.errorbar(
        said, right, yerr=reach, color="black", marker="o", capsize=3, label="found, 95 % interval"
    )
    above.set(xlim=(0, 1), ylim=(0, 1), ylabel="share that was right")
    above.legend(loc="upper left", frameon=False)
    below.bar(
        [(one.low + one.high) / 2 for one in found.bins], [one.count for one in found.bins], 0.08, color="0.4"
    )
    below.set(xlabel="probability said of the likeliest cause", ylabel="statements")
    # Without a date, and with ids that do not change, so that the file only changes when the numbers do.
    metadata = {"Date": None} if path.suffix == ".svg" else None
    import matplotlib

    with matplotlib.rc_context({"svg.hashsalt": "reliability"}):
        figure.savefig(path, metadata=metadata)
    if path.suffix == ".svg":
        make_plain(path)


def _bins(said: Floats, hit: Floats) -> tuple[Bin, ...]:
    place = np.minimum((said * BINS).astype(np.intp), BINS - 1)
    found = []
    for index in range(BINS):
        inside = place == index
        count = int(inside.sum())
        mean = (float(said[inside].mean()), float(hit[inside].mean())) if count else (0.0, 0.0)
        found.append(Bin(index / BINS, (index + 1) / BINS, count, *mean))
    return tuple(found)


def _error(said: Floats, hit: Floats) -> float:
    return Reliability(_bins(said, hit), 0.0).error


def make_plain(picture: Path) -> None:
    """Take out of an SVG file what names places on the web: its document type and its metadata."""
    text = picture.read_text(encoding="utf-8")
    for part in (r"<!DOCTYPE.*?>\s*", r"\s*<metadata>.*?</metadata>"):
        text = re.sub(part, "", text, flags=re.DOTALL)
    picture.write_text(text, encoding="utf-8")
