"""The debrief as the bench shows it: parts of the score, causes left over time, and what the judge says."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from parked_hvac.assessment.debrief import Section
    from parked_hvac.bench.judging import Judging

View = dict[str, Any]

_AT_WORK = (
    "The judge does your job again and compares each reading with what every other cause would have shown. "
    "This takes a little while; the bench stays usable."
)


_JUDGE = threading.Lock()
"""One judgement at a time, whichever bench asks: they share what the candidates' trucks showed."""


def judged_view(path: Path) -> View:
    """Have an attempt file judged, and make the debrief's view. Raises AttemptError with a sentence."""
    # The judge is heavy to import, and nobody needs it before the end of a job.
    from parked_hvac.assessment.debrief import debrief
    from parked_hvac.assessment.grading import grade
    from parked_hvac.bench.plots import candidates_left

    with _JUDGE:
        score = grade(path)
        told = debrief(score)
    plot = candidates_left(told.yours, told.best)
    return {
        "kind": "debrief",
        "title": "Debrief",
        "summary": told.summary,
        "parts": [
            {
                "title": part.title,
                "points": part.points,
                "maximum": part.maximum,
                "shown": f"{part.points:.1f} of {part.maximum:.0f}",
            }
            for part in score.parts
        ],
        "plot": {"svg": plot.svg, "words": plot.words},
        "blocks": [_block(section) for section in told.sections],
    }


def debrief_view(judging: Judging) -> View:
    """The debrief, or why it is not there yet."""
    result = judging.result
    if result is None:
        return _note(_AT_WORK)
    return result.view if result.view is not None else _note(str(result.refused))


def _note(sentence: str) -> View:
    return {"kind": "paper", "title": "Debrief", "blocks": [{"paragraphs": [sentence]}]}


def _block(section: Section) -> View:
    block: View = {"heading": section.heading, "paragraphs": list(section.paragraphs)}
    if section.points:
        block["list"] = list(section.points)
    if section.table is not None:
        block["table"] = {
            "caption": section.table.caption,
            "head": list(section.table.head),
            "rows": [list(row) for row in section.table.rows],
        }
    return block
