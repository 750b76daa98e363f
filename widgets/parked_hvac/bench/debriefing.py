"""The debrief as the bench shows it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from parked_hvac.job.errors import AttemptError

if TYPE_CHECKING:
    from parked_hvac.assessment.debrief import Section
    from parked_hvac.job.attempt import Attempt


def debrief_view(attempt: Attempt) -> dict[str, Any]:
    """Points, plot and words about an attempt that names a cause; a sentence where it cannot be scored."""
    # The judge runs a thousand trucks: nothing of it is loaded before somebody asks.
    from parked_hvac.assessment.debrief import debrief
    from parked_hvac.assessment.grading import grade_attempt
    from parked_hvac.bench.plots import candidates_left

    try:
        score = grade_attempt(attempt)
    except AttemptError as error:
        return {**_EMPTY, "summary": str(error)}
    told = debrief(score)
    plot = candidates_left(told.yours, told.best)
    return {
        "kind": "debrief",
        "title": "Debrief",
        "summary": told.summary,
        "parts": [
            {"title": part.title, "points": part.points, "maximum": part.maximum, "shown": f"{part.points:g}"}
            for part in score.parts
        ],
        "plot": {"svg": plot.svg, "words": plot.words},
        "blocks": [_block(section) for section in told.sections],
    }


_EMPTY: dict[str, Any] = {"kind": "debrief", "title": "Debrief", "parts": [], "plot": None, "blocks": []}


def _block(section: Section) -> dict[str, Any]:
    block: dict[str, Any] = {"heading": section.heading, "paragraphs": list(section.paragraphs)}
    if section.points:
        block["list"] = list(section.points)
    if section.table is not None:
        table = section.table
        block["table"] = {
            "caption": table.caption,
            "head": list(table.head),
            "rows": [list(row) for row in table.rows],
        }
    return block
