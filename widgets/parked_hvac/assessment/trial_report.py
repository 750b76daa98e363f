"""The table and the curve of the made-up learners, for the instructor's guide."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from parked_hvac.assessment.trial import (
    ABLE,
    LEAST_AREA,
    WIDEST,
    Result,
    area_under_roc,
    roc,
    standings,
)
from parked_hvac.job.order import orders as all_orders

_MANY = 100
"""Trucks of an order from which on halves of them say something: with 25, means of a dozen points that scatter by 12 lie up to
11 apart by chance alone, in the worst of 58 orders."""
TABLE, CURVE = "judge-of-judges.md", "judge-of-judges.svg"


def write_report(played: Sequence[Result], folder: Path) -> tuple[Path, Path]:
    """Write table and curve into a folder; returns both paths."""
    table, curve = folder / TABLE, folder / CURVE
    table.write_text(table_text(played), "utf-8")
    curve.write_text(_drawn(played), "utf-8")
    return table, curve


def table_text(played: Sequence[Result]) -> str:
    """The report in Markdown."""
    orders = sorted({one.order for one in played})
    variants = len({one.variant for one in played})
    lines = [
        "# The judge judged",
        "",
        "Made-up learners play the work orders through the same score that marks people. Written by",
        "`parked-hvac judge learners`; not to be edited by hand.",
        "",
        f"{len(orders)} of the course's {len(all_orders())} orders, trucks of each: {variants}; {len(played)} attempts.",
        "",
        "| learner | attempts | mean | limit | kept | lowest | highest | halves apart by | one cause off its order by |",
        "| --- | ---: | ---: | --- | --- | ---: | ---: | ---: | ---: |",
    ]
    for one in standings(played):
        kept = "yes" if one.kept else "**no**"
        lines.append(
            f"| {one.learner} | {one.plays} | {one.mean:.1f} | {one.limit} | {kept} "
            f"| {one.lowest:.1f} | {one.highest:.1f} "
            f"| {f'{one.apart:.1f}' if variants >= _MANY else 'few trucks'} "
            f"| {f'{one.off:.1f}' if variants > 1 else 'one truck only'} |"
        )
    area = area_under_roc(played)
    lines += [
        "",
        f"Area under the ROC curve between {' or '.join(ABLE)} and all others: {area:.4f} "
        f"(at least {LEAST_AREA} is asked for{'' if area >= LEAST_AREA else '; **not kept**'}).",
        "",
        "A learner's mean must not hang on which trucks of an order were drawn: the means over every second truck and over the "
        f"others may lie {WIDEST:g} points apart (halves apart by, the largest of all orders). The last column asks for more: "
        "how far the mean over the trucks with one cause lies from the mean over its order. Those who go by the evidence tell "
        "there whether the score treats causes alike; who works by a list, or at random, comes upon some causes and misses "
        "others, and is to be told so.",
        "",
        f"![Share of able and of other learners above each pass mark]({CURVE})",
        "",
        "## Points by part, means",
        "",
        *_parts(played),
        "",
        "## Means by order",
        "",
        *_by_order(played, orders),
        "",
    ]
    return "\n".join(lines)


def _parts(played: Sequence[Result]) -> list[str]:
    names = list(played[0].parts)
    rows = ["| learner | " + " | ".join(names) + " |", "| --- |" + " ---: |" * len(names)]
    for one in standings(played):
        own = [result.parts for result in played if result.learner == one.learner]
        means = [float(np.mean([parts[name] for parts in own])) for name in names]
        rows.append(f"| {one.learner} | " + " | ".join(f"{mean:.1f}" for mean in means) + " |")
    return rows


def _by_order(played: Sequence[Result], orders: Sequence[str]) -> list[str]:
    learners = [one.learner for one in standings(played)]
    rows = ["| order | " + " | ".join(learners) + " |", "| --- |" + " ---: |" * len(learners)]
    for order in orders:
        cells = []
        for learner in learners:
            own = [one.total for one in played if (one.order, one.learner) == (order, learner)]
            cells.append(f"{np.mean(own):.0f}" if own else "")
        rows.append(f"| {order} | " + " | ".join(cells) + " |")
    return rows


def _drawn(played: Sequence[Result]) -> str:
    """The ROC curve as SVG, 400 by 400 units."""
    others, able = roc(played)
    corners = [(0.0, 0.0)]
    for x, y in zip(others.tolist(), able.tolist(), strict=True):
        corners += [(x, corners[-1][1]), (x, y)]
    line = " ".join(f"{50 + 320 * x:.1f},{350 - 320 * y:.1f}" for x, y in corners)
    title = f"Area under the curve {area_under_roc(played):.4f}"
    return f"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 400" font-family="sans-serif" font-size="13" role="img">
<title>{title}</title>
<rect width="400" height="400" fill="white"/>
<rect x="50" y="30" width="320" height="320" fill="none" stroke="black"/>
<path d="M50 350L370 30" stroke="gray" stroke-dasharray="4 4"/>
<polyline points="{line}" fill="none" stroke="black" stroke-width="2"/>
<text x="210" y="20" text-anchor="middle">{title}</text>
<text x="210" y="385" text-anchor="middle">share of the others above the mark</text>
<text x="20" y="190" text-anchor="middle" transform="rotate(-90 20 190)">share of the able above the mark</text>
<text x="50" y="367" text-anchor="middle">0</text><text x="370" y="367" text-anchor="middle">1</text>
<text x="42" y="354" text-anchor="end">0</text><text x="42" y="36" text-anchor="end">1</text>
</svg>
"""
