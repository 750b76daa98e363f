"""Everything the seven parts of a score look at: the replay, what it taught, what a sound truck shows, the best path."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Any

from parked_hvac.assessment.bead import off_the_table
from parked_hvac.assessment.retrace import Line, Retrace, retrace
from parked_hvac.assessment.rubric import Rubric, rubric
from parked_hvac.assessment.verdicts import Deserved, deserved
from parked_hvac.diagnosis.analysis import Analysis, analyse
from parked_hvac.diagnosis.candidates import together
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.prediction import Observed
from parked_hvac.diagnosis.solution import Solution, solution
from parked_hvac.diagnosis.walk import walk_of
from parked_hvac.job.attempt import truck_parameters
from parked_hvac.job.order import Order, order_named
from parked_hvac.job.seal import Ticket


@dataclass(frozen=True, eq=False)
class Case:
    """One attempt before the judge; a case is equal to itself alone."""

    ticket: Ticket
    order: Order
    trace: Retrace
    analysis: Analysis
    seen: Mapping[int, Observed]
    """What the learner's truck showed at each reading of the diagnosis."""
    best: Solution
    rubric: Rubric

    @property
    def cause(self) -> str:
        """Name of the true cause as a candidate."""
        return cause_of(self.ticket)

    @property
    def alike(self) -> tuple[str, ...]:
        """The true cause and what no check tells from it."""
        return self.best.alike

    @property
    def named(self) -> str | None:
        """The cause first concluded."""
        line = self.trace.conclusion
        return None if line is None else str(line.arguments["cause"])

    @property
    def named_right(self) -> bool:
        """Whether the cause first concluded is the true one or one of its class."""
        return self.named is not None and self.named in self.alike

    @property
    def repaired_first(self) -> bool:
        """Whether something was repaired before a cause was named: then what helped may have told it."""
        line, repairs = self.trace.conclusion, self.trace.repairs
        return line is not None and bool(repairs) and repairs[0].n < line.n

    @property
    def certainty(self) -> float:
        """Posterior of the true class from the learner's own readings before the conclusion or first repair."""
        return min(sum(self.analysis.probability(name) for name in self.alike), 1.0)

    @property
    def carried(self) -> float:
        """Share of the points that a right conclusion earns by its readings: 1 where they make it certain."""
        figures, whole = self.rubric.conclusion, self.rubric.parts.conclusion.points
        if self.certainty >= figures.certain:
            return 1.0
        if self.repaired_first:
            return 0.0
        guess = figures.guess / whole
        if self.certainty < figures.likely:
            return guess * self.certainty / figures.likely
        way = (self.certainty - figures.likely) / (figures.certain - figures.likely)
        return guess + (1.0 - guess) * way

    def top(self, posterior: Floats) -> float:
        """Probability (C,) of the likeliest cause; what no check tells from the true one counts with it."""
        return _top(self.analysis.names, self.alike, posterior)

    @cached_property
    def certain_at(self) -> tuple[int, ...]:
        """The readings after which one cause was certain, by number of action."""
        certain = self.rubric.conclusion.certain
        return tuple(one.n for one in self.analysis.learned if self.top(one.posterior) >= certain)

    @property
    def progress(self) -> float:
        """How much of the uncertainty the readings removed: 0 none, 1 as much as a conclusion needs."""
        start, end = self.analysis.start_bits, self.analysis.end_bits
        return min(max((start - end) / (start - ENOUGH_BITS), 0.0), 1.0)

    def deserved(self, line: Line) -> Deserved:
        """What each verdict on a reading of the diagnosis is worth."""
        n = self.trace.echoes.get(line.n, line.n)
        learned = self.analysis.of(n)
        assert learned is not None
        off = off_the_table(line, self.trace.readings)
        return deserved(line, self.analysis.sound(n), self.seen[n], learned, self.rubric, off)


ENOUGH_BITS = 1.2
"""Entropy that is left where one of a hundred causes is 0.9 probable."""


def open_case(
    order: Order, ticket: Ticket, trace: Retrace, same: Case | None = None, until_certain: bool = False
) -> Case:
    """Put an attempt before the judge; ``same`` is a case of the same diagnosis, whose readings need no second weighing.

    until_certain: weigh no reading after the first that makes one cause certain, for one who stops there (see ``cut``).
    """
    seen, walk, best, figures = trace.seen(), walk_of(order), best_for(ticket), rubric()

    def certain(posterior: Floats) -> bool:
        return _top(walk.cast.names, best.alike, posterior) >= figures.conclusion.certain

    enough = certain if until_certain else None
    return Case(
        ticket=ticket,
        order=order,
        trace=trace,
        analysis=analyse(walk, trace.steps(), seen, enough) if same is None else same.analysis,
        seen=seen,
        best=best,
        rubric=figures,
    )


def _top(names: Sequence[str], alike: Sequence[str], posterior: Floats) -> float:
    same = sum(float(posterior[names.index(name)]) for name in alike)
    return max(same, float(posterior.max()))


def retraced(ticket: Ticket, actions: Sequence[tuple[str, Mapping[str, Any]]]) -> Retrace:
    """The actions done again on the truck of a ticket."""
    return retrace(order_named(ticket.order), truck_parameters(ticket), actions)


def cut(case: Case, lines: int) -> Case:
    """The case of someone who did no more of the diagnosis than its first lines."""
    whole = case.trace
    minutes = whole.lines[lines].minute if lines < len(whole.lines) else whole.minutes
    trace = replace(whole, lines=whole.lines[:lines], minutes=minutes)
    weighed = tuple(one for one in case.analysis.weighed if one.n <= lines)
    return replace(case, trace=trace, analysis=Analysis(case.analysis.walk, weighed), seen=trace.seen())


def cause_of(ticket: Ticket) -> str:
    """Name of the ticket's cause as a candidate."""
    return ticket.faults[0] if len(ticket.faults) == 1 else together(ticket.faults).name


@lru_cache(maxsize=64)
def best_for(ticket: Ticket) -> Solution:
    """The best path found for the truck of a ticket."""
    return solution(order_named(ticket.order), cause_of(ticket), truck_parameters(ticket))
