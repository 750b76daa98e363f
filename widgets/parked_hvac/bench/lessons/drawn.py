"""Lines and stacked bars that lessons 09 and 10 draw on the bench's sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from parked_hvac.bench.plots import HATCHES, INK, MARKERS, SERIES, Plot, finished, sheet

MOST_TICKS = 12


def lines(
    x: Sequence[float],
    series: Mapping[str, Sequence[float]],
    axes_named: tuple[str, str],
    title: str,
    words: str,
    limit: tuple[float, str] | None = None,
) -> Plot:
    """Lines over ``x``; what both axes mean, and a dashed ``limit`` with its words. A name with 'old' is dashed."""
    figure, axes = sheet(7.4, 3.4)
    for index, (name, values) in enumerate(series.items()):
        style = "--" if "old" in name else "-"
        axes.plot(
            x, values, linestyle=style, color=SERIES[index % 4], marker=MARKERS[index % 4], markersize=4,
            markevery=max(1, len(x) // 12), label=name,
        )  # fmt: skip
    if limit is not None:
        axes.axhline(limit[0], color=INK, linestyle=":", linewidth=1.2)
        axes.annotate(
            limit[1], (x[0], limit[0]), xytext=(2, 3), textcoords="offset points", color=INK, fontsize=9
        )
    if len(x) <= MOST_TICKS:
        axes.set_xticks(list(x))
    axes.set_xlabel(axes_named[0])
    axes.set_ylabel(axes_named[1])
    axes.set_ylim(bottom=0)
    return finished(figure, axes, title, words)


def stacked(
    rows: Mapping[str, Mapping[str, float]], unit: str, title: str, words: str, remarks: Sequence[str]
) -> Plot:
    """A lying bar per row, made of its parts in ``unit``, with a remark behind it."""
    figure, axes = sheet(7.4, 0.7 * len(rows) + 1.5)
    parts = list(dict.fromkeys(part for row in rows.values() for part in row))
    at = np.arange(len(rows))[::-1]
    left = np.zeros(len(rows))
    for index, part in enumerate(parts):
        width = np.array([row.get(part, 0.0) for row in rows.values()])
        axes.barh(
            at, width, left=left, height=0.6, label=part, color=SERIES[index % 4], hatch=HATCHES[index % 4],
            edgecolor=INK, linewidth=0.6,
        )  # fmt: skip
        left = left + width
    for place, total, remark in zip(at, left, remarks, strict=True):
        axes.annotate(
            remark, (total, place), xytext=(6, -3), textcoords="offset points", color=INK, fontsize=9
        )
    axes.grid(visible=False)  # it would run through the remarks
    axes.set_yticks(at, list(rows))
    axes.set_xlim(0.0, float(left.max()) * 1.3)
    axes.set_ylim(-0.6, len(rows) - 0.2)
    axes.set_xlabel(unit)
    return finished(figure, axes, title, words)
