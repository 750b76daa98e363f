"""What to practise after an attempt: a sentence for each weak part, and an order for the skill that was missed."""

from __future__ import annotations

from parked_hvac.assessment.score import Score
from parked_hvac.job.actions import AND
from parked_hvac.job.order import orders
from parked_hvac.job.skills import skills
from parked_hvac.rig.faults import faults

_WEAK = 0.7
_ADVICE = {
    "safe": "Safe working: before each step say its caution aloud, then do what it asks.",
    "complaint": (
        "Complaint and conditions: run the unit as the driver does, feel, look, read the codes, take temperatures; "
        "only then open anything."
    ),
    "technique": "Taking readings: before each ask in which state of the truck it can tell something.",
    "understanding": (
        "Understanding readings: say what a sound truck would show here in this state, then look, then say what is left."
    ),
    "conclusion": "Concluding: write down every cause that is left, and the reading that would rule it out; take it.",
    "economy": "Economy: choose the step that rules out most per minute; stop when one cause is left and confirmed.",
    "repair": "Repair: mend what was proved, run the complaint again, and write complaint, cause and correction.",
}


def practise(score: Score) -> tuple[str, ...]:
    """What to practise, most needed first."""
    weak = [part for part in score.parts if part.points < _WEAK * part.maximum]
    weak.sort(key=lambda part: part.points - part.maximum)
    # With no cause found, economy and repair follow of themselves.
    unfound = not score.case.named_right
    points = [_ADVICE[part.name] for part in weak if not (unfound and part.name in ("economy", "repair"))]
    if unfound:
        missed = set(score.cause.split(AND)) - set((score.named or "").split(AND))
        where = dict.fromkeys(faults()[name].skill for name in sorted(missed or score.cause.split(AND)))
        points += [_order_for(skill, score.order) for skill in where if skill in skills()]
    return tuple(points) or ("Nothing stands out. Take a harder order.",)


def _order_for(skill: str, taken: str) -> str:
    """A sentence that names a skill and an order about it, the easiest but the one just taken."""
    told = f"{skills()[skill].title}: the cause lay here."
    fit = [order for order in orders().values() if skill in order.skills and order.id != taken]
    return f"{told} Take the order '{fit[0].title}' next." if fit else told
