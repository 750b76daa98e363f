"""The hundred points of an attempt: seven parts, and every point lost with its line, its reason and what was better."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from msgspec.structs import fields

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.notices import notices
from parked_hvac.assessment.part_conclusion import conclusion, economy, repair
from parked_hvac.assessment.part_readings import technique, understanding
from parked_hvac.assessment.part_work import complaint, safe
from parked_hvac.assessment.rubric import Parts
from parked_hvac.assessment.rules import rules
from parked_hvac.assessment.scored import Loss, Scored

_PARTS: dict[str, Callable[[Case], list[Loss]]] = {
    "safe": safe,
    "complaint": complaint,
    "technique": technique,
    "understanding": understanding,
    "conclusion": conclusion,
    "economy": economy,
    "repair": repair,
}
"""Part of the rubric → what it takes off."""


@dataclass(frozen=True)
class Score:
    """The judgement of one attempt. ``total`` is a plain float, 0 to 100."""

    order: str
    learner: str
    total: float
    parts: tuple[Scored, ...]
    capped_by: tuple[str, ...]
    """Breaches that cap the whole attempt."""
    cause: str
    named: str | None
    certainty: float
    """Probability of the true class by the learner's own readings, 0 to 1."""
    minutes: float
    best_minutes: float
    notices: tuple[str, ...]
    """What an instructor may want to know; costs and earns nothing."""
    case: Case = field(repr=False)

    def report(self) -> dict[str, Any]:
        """Parts, losses and caps as plain data, for pages and tables."""
        losses = [
            {"part": part.title, **loss.plain()}
            for part in self.parts
            for loss in part.lost
            if loss.points > 0
        ]
        return {
            "order": self.order,
            "total": self.total,
            "capped_by": list(self.capped_by),
            "notices": list(self.notices),
            "parts": [
                {"title": part.title, "points": part.points, "maximum": part.maximum} for part in self.parts
            ],
            "losses": losses,
        }

    def to_json(self) -> dict[str, Any]:
        """Everything a script may want, as plain data."""
        return {
            **self.report(),
            "learner": self.learner,
            "cause": self.cause,
            "named": self.named,
            "certainty": self.certainty,
            "minutes": self.minutes,
            "best_minutes": self.best_minutes,
        }


def score(case: Case) -> Score:
    """Judge a case by the rubric. A grave breach caps the whole."""
    shares = []
    for part in fields(Parts):
        one = getattr(case.rubric.parts, part.name)
        lost = _PARTS[part.name](case)
        taken = min(sum(loss.points for loss in lost), one.points)
        shares.append(Scored(part.name, one.title, round(one.points - taken, 2), one.points, tuple(lost)))
    total = sum(part.points for part in shares)
    graves = tuple(
        dict.fromkeys(
            rules()[name].breach
            for line in case.trace.lines
            for name in line.breaches
            if rules()[name].severity == "grave"
        )
    )
    if graves:
        total = min(total, case.rubric.safe.grave_cap)
    return Score(
        order=case.order.id,
        learner=case.ticket.learner,
        total=round(float(min(max(total, 0.0), 100.0)), 2),
        parts=tuple(shares),
        capped_by=graves,
        cause=case.cause,
        named=case.named,
        certainty=case.certainty,
        minutes=case.trace.minutes,
        best_minutes=case.best.minutes,
        notices=notices(case),
        case=case,
    )
