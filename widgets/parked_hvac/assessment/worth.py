"""What a reading could add when it was taken: something, nothing, or no more than the complaint once more.

The score rewards readings that could tell something and lets nothing be won with others: a hundred cheap checks, or the
same one a hundred times, weigh no more than none.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import lru_cache

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.part_work import SENSED, is_condition
from parked_hvac.assessment.retrace import SENSES, Line
from parked_hvac.assessment.verdicts import proves_dead
from parked_hvac.diagnosis.analysis import Learned

_TAUGHT_BITS = 0.1
_LEAST_WEIGHT, _MOST_BITS = 0.5, 2.0


@dataclass(frozen=True)
class Idle:
    """Why a reading could add nothing, and what would have been better."""

    reason: str
    better: str


LEADS_TOGETHER = Idle(
    "both leads were on one point", "Put the leads on the two ends of what you want to know."
)
SAME_FOR_ALL = Idle(
    "in this state every cause would show the same here",
    "Take it in the state in which the part carries its load.",
)
PLAIN_FOR_ALL = Idle(
    "what it shows here is known beforehand, whatever the cause",
    "Take it where a cause would change it: at the vent, or when the unit has cooled for some minutes.",
)
AGAIN = Idle(
    "it was taken before in the same state", "One good reading is enough; go on to the next question."
)
LATE = Idle("by then your readings had left one cause, and confirmed it", "Conclude once one cause is left.")
FORESEEN = Idle(
    "after what you had read, the causes left would all show the same here",
    "Ask before each reading which of the causes left it could rule out.",
)


@lru_cache(maxsize=2)
def idle_readings(case: Case) -> dict[int, Idle]:
    """The readings that could add nothing, by number of action."""
    found: dict[int, Idle] = {}
    taken: set[tuple[str, ...]] = set()
    asked = asked_for(case.trace.readings)
    for line in case.trace.readings:
        learned = case.analysis.of(line.n)
        reason = AGAIN if learned is None else _idle(case, line, learned, line.question in taken, asked)
        if reason is not None:
            found[line.n] = reason
        taken.add(line.question)
    return found


def late_readings(case: Case) -> list[int]:
    """Readings taken although one cause was left, and confirmed; by number of action."""
    return [n for n, idle in idle_readings(case).items() if idle is LATE]


def _idle(case: Case, line: Line, learned: Learned, again: bool, asked: Collection[int]) -> Idle | None:
    if line.verb == "measure" and line.arguments["red"] == line.arguments["black"]:
        return LEADS_TOGETHER
    limit = case.rubric.technique.untelling_bits
    # What was learnt by doing it again, as of a voltage that creeps, was not in vain.
    if again and learned.gained_bits < _TAUGHT_BITS:
        return AGAIN
    if proves_dead(line) or line.n in asked:
        return None
    adds = learned.gained_bits >= _TAUGHT_BITS or learned.expected_bits >= limit
    if not adds and learned.telling_bits < limit:
        return PLAIN_FOR_ALL if line.verb == "thermometer" else SAME_FOR_ALL
    if _late(case, line, asked):
        return LATE
    return None if adds or confirms(line) else FORESEEN


def confirms(line: Line) -> bool:
    """Whether a reading belongs to confirming complaint and conditions, which is never in vain."""
    return line.verb in SENSES or line.verb == "read_codes"


def asked_for(readings: Sequence[Line]) -> set[int]:
    """The readings by which complaint and conditions are confirmed, which the score asks of everyone.

    The first of each kind: eyes, ears or hands, the codes, a thermometer in the bunk or outside, which the controller's word is
    held against. All others are work like any other, so that nobody looks at everything for nothing.
    """
    first: dict[str, int] = {}
    for line in readings:
        if line.verb == "thermometer" and is_condition(line):
            first.setdefault("conditions", line.n)
        elif line.verb in SENSED:
            first.setdefault("observed", line.n)
        elif line.verb == "read_codes":
            first.setdefault("codes", line.n)
    return set(first.values())


def weight(case: Case, line: Line) -> float:
    """How much the verdict on a reading counts: more for one that taught much; 0 for one that added nothing."""
    learned = case.analysis.of(line.n)
    limit = case.rubric.technique.untelling_bits
    if learned is None:
        return 0.0
    if learned.gained_bits < limit and learned.expected_bits < limit:
        return 0.0
    return _LEAST_WEIGHT + min(learned.gained_bits, _MOST_BITS)


def _late(case: Case, line: Line, asked: Collection[int]) -> bool:
    """Whether one cause was certain before this reading, and had been through as many readings as confirm it.

    What the complaint asks for is no confirming: who saw through the truck early must still read the codes. But the
    reading that first makes a cause certain counts, whichever it is.
    """
    sure = 0
    for n in case.certain_at:
        if n < line.n and (n not in asked or sure == 0):
            sure += 1
    return sure > case.rubric.understanding.confirming
