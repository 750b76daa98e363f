"""The debrief's plot as a static drawing: causes still possible over the minutes, beside the best path found."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from markupsafe import Markup

WIDTH, HEIGHT, LEFT, BOTTOM, TOP, RIGHT = 640.0, 260.0, 52.0, 40.0, 14.0, 14.0


def candidates_plot(debrief: dict[str, Any]) -> Markup:
    """An SVG element from the debrief's 'yours' and 'best', each (minute, causes) in order; numbers only go in."""
    yours, best = _numbers(debrief["yours"]), _numbers(debrief["best"])
    minutes = max([1.0, *(minute for minute, _ in yours + best)])
    causes = max([1.0, *(count for _, count in yours + best)])

    def place(minute: float, count: float) -> tuple[float, float]:
        across = LEFT + minute / minutes * (WIDTH - LEFT - RIGHT)
        return round(across, 1), round(HEIGHT - BOTTOM - count / causes * (HEIGHT - BOTTOM - TOP), 1)

    def steps(points: Sequence[tuple[float, float]]) -> str:
        """A cause stays possible until the next reading, so the line is a stair."""
        path, last = [], None
        for minute, count in points:
            if last is not None:
                path.append(place(minute, last))
            path.append(place(minute, count))
            last = count
        return " ".join(f"{x},{y}" for x, y in path)

    base = HEIGHT - BOTTOM
    return Markup(
        f'<svg role="img" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" style="max-width:100%" fill="none" stroke="currentColor">'
        "<title>Causes still possible, over the minutes on the job: yours as a line, the best path found as a broad band"
        "</title>"
        f'<path d="M{LEFT:g} {TOP:g} V{base:g} H{WIDTH - RIGHT:g}" stroke-width="1"/>'
        # The broad band lies below the line, so that both are seen where they agree, on paper as well.
        f'<polyline points="{steps(best)}" stroke-width="9" stroke-opacity="0.25" stroke-linejoin="round"/>'
        f'<polyline points="{steps(yours)}" stroke-width="2.5"/>'
        '<g fill="currentColor" stroke="none" font-size="13">'
        f'<text x="{LEFT - 6:g}" y="{TOP + 10:g}" text-anchor="end">{causes:g}</text>'
        f'<text x="{LEFT - 6:g}" y="{base:g}" text-anchor="end">0</text>'
        f'<text x="{WIDTH - RIGHT:g}" y="{base + 18:g}" text-anchor="end">{minutes:.0f} min</text>'
        f'<text x="{LEFT:g}" y="{base + 18:g}">0</text>'
        f'<text x="{LEFT + 60:g}" y="{base + 34:g}">causes still possible: line yours, band the best path found</text>'
        "</g></svg>"
    )


def _numbers(points: Sequence[Sequence[float]]) -> list[tuple[float, float]]:
    return [(float(minute), float(count)) for minute, count in points]
