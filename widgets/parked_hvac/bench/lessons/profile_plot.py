"""A profile of skills as a drawing and as rows: what to expect of each, and how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from parked_hvac.bench.plots import INK, SERIES, Plot, finished, sheet
from parked_hvac.job.skills import skills
from parked_hvac.job.spoken import percent

if TYPE_CHECKING:
    from parked_hvac.assessment.profile import Level

_HELD = 0.8
"""Line of the plot; ``assessment.profile.SURE``, which is too heavy to import for a drawing."""


def profile_plot(levels: Sequence[Level]) -> Plot:
    """A dot for the share to expect of each skill, and a line over its 90 % interval."""
    figure, axes = sheet(7.4, 1.0 + 0.34 * max(len(levels), 1))
    for row, level in enumerate(levels):
        low, high = level.interval
        axes.plot([low, high], [row, row], color=SERIES[0], linewidth=3, alpha=0.6, solid_capstyle="butt")
        axes.plot([level.share], [row], color=SERIES[1], marker="o", markersize=6)
    axes.axvline(_HELD, color=INK, linestyle="--", linewidth=1, label="held from here")
    axes.set_yticks(range(len(levels)), [skills()[level.skill].title for level in levels], fontsize=9)
    axes.set_ylim(len(levels) - 0.5, -0.5)
    axes.set_xlim(0.0, 1.0)
    axes.set_xlabel("share of the work done well")
    title = "What your work says about each skill"
    words = "; ".join(f"{name}: {told}" for name, told in profile_rows(levels)) or "no evidence yet"
    return finished(
        figure, axes, title, f"{title}. {words}. The lines are 90 % intervals: more work makes them shorter."
    )


def profile_rows(levels: Sequence[Level]) -> list[tuple[str, str]]:
    """Title of each skill, and its share, interval, amount of evidence and what that means, in words."""
    rows = []
    for level in levels:
        low, high = level.interval
        rows.append(
            (
                skills()[level.skill].title,
                f"{level.words}; {percent(level.share)} (between {100 * low:.0f} and {percent(high)}), from {_pieces(level.trials)} of work",
            )
        )
    return rows


def _pieces(trials: float) -> str:
    """Amount of evidence: a verdict or a part of a job is one piece, or a share of one where it speaks for several skills."""
    figure = f"{trials:.1f}".removesuffix(".0")
    return f"{figure} piece" if figure == "1" else f"{figure} pieces"
