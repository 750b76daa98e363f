"""Plots of lessons and debriefs: drawings that follow the notebook's theme and can be read aloud."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Stand-ins for what only the page knows; replaced after drawing by the page's own colours.
INK, FAINT = "#010203", "#040506"
_COLOURS = {INK: "currentColor", FAINT: "var(--jp-border-color1, #9aa5a5)"}
SERIES = ("#2b7f88", "#b5651d", "#6f6aa8", "#7d8b2e")
"""Mid tones that stand out on white and on dark alike; hatches and markers tell them apart without colour."""
HATCHES = ("", "//", "..", "xx")
MARKERS = ("o", "s", "^", "D")
MOST_FIGURES = 13
"""Figures of four digits that have room side by side across a plot."""
_LETTERS, _ROW_PT = 100, 15.0
"""What a row of the legend holds across a plot whose axis has no labels, and its height in points."""
_FONT = "var(--jp-ui-font-family, system-ui, sans-serif)"


@dataclass(frozen=True, repr=False)
class Plot:
    """A drawing (SVG text) and the same in words."""

    svg: str
    words: str

    def __repr__(self) -> str:
        """The words, for a notebook without pictures."""
        return self.words

    def _repr_html_(self) -> str:
        return (
            f'<figure style="margin:8px 0;color:var(--jp-content-font-color1,#222)">{self.svg}'
            f'<figcaption style="font-size:90%;line-height:1.5">{escape(self.words)}</figcaption></figure>'
        )


def voltage_along(
    sections: Sequence[str], cases: Mapping[str, Sequence[float]], title: str = "Voltage along the feed"
) -> Plot:
    """Bars of voltage in V at each point of a feed, one bar per case ('no load', '18 A', …).

    ``sections``: names of the points, source first; ValueError for a case without one value per point.
    """
    for case, values in cases.items():
        if len(values) != len(sections):
            raise ValueError(
                f"Case {case!r} has {len(values)} values for {len(sections)} points: give one per point."
            )
    figure, axes = sheet(7.4, 3.1)
    width = 0.8 / len(cases)
    crowded = len(cases) * len(sections) > MOST_FIGURES
    for index, (case, values) in enumerate(cases.items()):
        at = [place + (index - (len(cases) - 1) / 2) * width for place in range(len(sections))]
        bars = axes.bar(
            at,
            values,
            width * 0.92,
            label=case,
            color=SERIES[index % 4],
            hatch=HATCHES[index % 4],
            edgecolor=INK,
            linewidth=0.6,
        )
        axes.bar_label(bars, fmt="%.2f", fontsize=8, color=INK, padding=2, rotation=90 if crowded else 0)
    axes.set_xticks(range(len(sections)), sections)
    everything = [value for values in cases.values() for value in values]
    low, high = min(everything), max(everything)
    room = max(high - low, 0.5)
    bottom = max(0.0, low - 0.35 * room)
    # Not from zero: a drop of half a volt in twelve is what the plot is about; the figures stand on the bars.
    axes.set_ylim(bottom, high + (0.45 if crowded else 0.25) * room)
    axes.set_ylabel(f"V, from {bottom:.1f} up" if bottom else "V")
    told = "; ".join(
        f"{case}: "
        + ", ".join(f"{point} {value:.2f} V" for point, value in zip(sections, values, strict=True))
        for case, values in cases.items()
    )
    return finished(figure, axes, title, f"{title}. {sentence(told)}.")


def over_time(
    minutes: Sequence[float],
    series: Mapping[str, Sequence[float]],
    unit: str,
    title: str,
    limit: float | None = None,
) -> Plot:
    """Lines over minutes, one per name, in ``unit``; ``limit`` draws a line that the spec sheet gives."""
    figure, axes = sheet(7.4, 3.0)
    for index, (name, values) in enumerate(series.items()):
        every = max(1, len(values) // 12)
        axes.plot(
            minutes,
            values,
            label=name,
            color=SERIES[index % 4],
            marker=MARKERS[index % 4],
            markevery=every,
            markersize=4,
        )
    if limit is not None:
        axes.axhline(limit, color=INK, linestyle="--", linewidth=1, label=f"limit {limit:g} {unit}")
    axes.set_xlabel("minutes")
    axes.set_ylabel(unit)
    told = "; ".join(
        f"{name} from {values[0]:.3g} to {values[-1]:.3g} {unit}" for name, values in series.items()
    )
    return finished(figure, axes, title, f"{title}, over {minutes[-1]:g} minutes: {told}.")


def candidates_left(
    yours: Sequence[tuple[float, float]],
    best: Sequence[tuple[float, float]],
    title: str = "Causes still possible",
) -> Plot:
    """Steps of (minute, number of causes still possible): the learner's own beside the best path found."""
    figure, axes = sheet(7.4, 3.0)
    for index, (name, path) in enumerate((("your path", yours), ("best path found", best))):
        if not path:
            continue
        at, left = zip(*path, strict=True)
        axes.step(
            at,
            left,
            where="post",
            label=name,
            color=SERIES[index],
            linestyle=("-", "--")[index],
            marker=MARKERS[index],
            markersize=4,
        )
    axes.set_xlabel("minutes on the job")
    axes.set_ylabel("causes")
    axes.set_ylim(bottom=0)
    told = ". ".join(
        f"{name}: " + ", ".join(f"{left:.0f} left at minute {minute:.0f}" for minute, left in _changes(path))
        for name, path in (("Your path", yours), ("Best path found", best))
        if path
    )
    return finished(figure, axes, title, f"{title}. {told}.")


def _changes(path: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """The steps of a path that leave another number than the step before."""
    return [
        step for index, step in enumerate(path) if index == 0 or round(step[1]) != round(path[index - 1][1])
    ]


def sentence(words: str) -> str:
    """The words with a capital at their beginning, to stand after a full stop."""
    return words[:1].upper() + words[1:]


def sheet(width: float, height: float) -> tuple[Figure, Axes]:
    """An empty drawing of so many inches."""
    figure, (axes,) = sheets(width, height, 1)
    return figure, axes


def sheets(width: float, height: float, many: int) -> tuple[Figure, list[Axes]]:
    """Drawings of so many inches each, one above the other over the same figures below.

    pyplot, slow to import and full of state, is not needed.
    """
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width, height * many), layout="constrained")
    figure.patch.set_alpha(0.0)
    drawn = list(figure.subplots(many, 1, sharex=True, squeeze=False)[:, 0])
    for axes in drawn:
        _plain(axes)
    return figure, drawn


def _plain(axes: Axes) -> None:
    axes.patch.set_alpha(0.0)
    axes.grid(axis="y", color=FAINT, linewidth=0.5, alpha=0.7)
    axes.set_axisbelow(True)
    for name, spine in axes.spines.items():
        spine.set_color(INK)
        spine.set_visible(name in ("left", "bottom"))
    axes.tick_params(colors=INK, labelsize=9)
    axes.xaxis.label.set_color(INK)
    axes.yaxis.label.set_color(INK)


def finished(figure: Figure, axes: Axes, title: str, words: str) -> Plot:
    """The drawing of a sheet with its title and legend; ``words`` tell the same to a listener."""
    names = axes.get_legend_handles_labels()[1]
    # The legend stands under the title, where it meets nothing; each entry is its name and a sign as wide as eight letters.
    wide = [len(name) + 8 for name in names]
    room = _LETTERS - max((len(label.get_text()) for label in axes.get_yticklabels()), default=0)
    columns = len(names) if sum(wide) <= room else max(1, room // max(wide))
    rows = -(-len(names) // max(columns, 1))
    axes.set_title(title, color=INK, fontsize=11, loc="left", pad=6 + _ROW_PT * rows)
    if names:
        axes.legend(
            frameon=False, fontsize=9, labelcolor=INK, loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=columns,
            borderpad=0.0, borderaxespad=0.3, labelspacing=0.3,
        )  # fmt: skip
        figure.set_figheight(figure.get_figheight() + rows * _ROW_PT / 72.0)
    return Plot(_svg(figure, f"{title}; told in words below.", words), words)


def _svg(figure: Figure, name: str, words: str) -> str:
    import matplotlib as mpl
    from matplotlib.backends.backend_svg import FigureCanvasSVG

    written = io.StringIO()
    # Names of hatches and markers differ from plot to plot: a page looks for them in its first plot that has them, and
    # draws nothing where JupyterLab has put that one away.
    with mpl.rc_context({"svg.fonttype": "none", "svg.hashsalt": words, "font.family": "sans-serif"}):
        # As savefig does, but savefig draws all of it twice to lay it out.
        figure.dpi = 72
        canvas = FigureCanvasSVG(figure)
        layout = figure.get_layout_engine()
        if layout is not None:
            layout.execute(figure)
            figure.set_layout_engine("none")
        canvas.print_svg(written, metadata={"Date": None, "Creator": None})  # type: ignore[no-untyped-call]
    text = written.getvalue()
    text = text[text.index("<svg") :]
    for stand_in, colour in _COLOURS.items():
        text = text.replace(stand_in, colour)
    text = re.sub(r"font: ([\d.]+px) [^\";]+", rf"font-size: \1; font-family: {_FONT}", text)
    text = re.sub(r'width="[\d.]+pt" height="[\d.]+pt"', 'width="100%"', text, count=1)
    named = f'<svg role="img" aria-label="{escape(name, quote=True)}" style="max-width:720px" '
    return named + text[len("<svg ") :]
