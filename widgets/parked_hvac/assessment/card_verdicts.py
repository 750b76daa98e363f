"""What the verdicts on a colleague's job card are worth: the printed spec sheet in the state of the reading.

A line of the sheet that holds only in another state, such as with the compressor running, says nothing of a
reading taken in this one: then 'tells nothing' is right.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from parked_hvac.assessment.card import Card
from parked_hvac.assessment.case import retraced
from parked_hvac.assessment.retrace import Line
from parked_hvac.assessment.verdicts import NOTHING, sheet_says, spec_entry
from parked_hvac.job.seal import Ticket


@dataclass(frozen=True)
class Judged:
    """One reading of a card: what was said of it, what is right, and why."""

    line: int
    """Number of its line in the attempt file."""
    label: str
    display: str
    said: str | None
    right: str
    why: str
    sections: tuple[str, ...] = ()
    """What its line of the spec sheet belongs to, the closest first: section with state, then the section alone."""

    @property
    def earned(self) -> bool:
        """Whether the verdict is right."""
        return self.said == self.right


def judge_verdicts(ticket: Ticket, card: Card, said: Mapping[str, str]) -> tuple[Judged, ...]:
    """Every reading of the truck on the card, in order; said: verdict by reading id.

    Only the card's own steps are done again, so whatever the learner did after them changes nothing here.
    """
    trace = retraced(ticket, [(step.verb, step.arguments) for step in card.steps])
    return tuple(_judged(line, said.get(str(line.reading))) for line in trace.readings)


def _judged(line: Line, said: str | None) -> Judged:
    assert line.seen is not None
    entry = spec_entry(line)
    # OL on ohms is a reading too: more than the meter's highest range.
    endless = line.seen.word == "OL" and line.arguments.get("function") == "ohms"
    if entry is None or not (line.seen.is_number or endless):
        right, why = NOTHING, "no line of the spec sheet holds for it in this state of the truck"
    else:
        (right,) = sheet_says(math.inf if endless else line.seen.value, entry)
        why = f"the spec sheet says: {entry.text}"
    sections = () if entry is None else (f"{entry.section}, {entry.state}", entry.section)
    return Judged(line.line, line.label, line.display, said, right, why, sections)
