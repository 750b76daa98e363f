"""What the verdicts on a colleague's job card are worth, by the same judge as a job's own readings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from parked_hvac.assessment.card import Card
from parked_hvac.assessment.case import retraced, sound_readings
from parked_hvac.assessment.rubric import rubric
from parked_hvac.assessment.verdicts import deserved
from parked_hvac.diagnosis.analysis import analyse
from parked_hvac.job.attempt import truck_parameters
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import Ticket


@dataclass(frozen=True)
class Judged:
    """One reading of a card: what was said of it, the share (0 to 1) that earns, what is right and why."""

    line: int
    """Number of its line in the attempt file."""
    label: str
    display: str
    said: str | None
    share: float
    right: str
    why: str


def judge_verdicts(ticket: Ticket, card: Card, said: Mapping[str, str]) -> tuple[Judged, ...]:
    """Every reading of the truck on the card, in order; said: verdict by reading id.

    Only the card's own steps are done again, so whatever the learner did after them changes nothing here.
    """
    order = order_named(ticket.order)
    truck = truck_parameters(ticket)
    trace = retraced(ticket, [(step.verb, step.arguments) for step in card.steps])
    analysis = analyse(order, trace.steps(), truck)
    sound = sound_readings(order, trace.lines, truck)
    found: list[Judged] = []
    for line in trace.readings:
        learned = analysis.of(line.n)
        assert learned is not None
        worth = deserved(line, sound.told[line.n], sound.seen[line.n], learned, rubric())
        verdict = said.get(str(line.reading))
        share = 0.0 if verdict is None else float(worth.share[verdict])
        found.append(Judged(line.line, line.label, line.display, verdict, share, worth.best, worth.why))
    return tuple(found)
