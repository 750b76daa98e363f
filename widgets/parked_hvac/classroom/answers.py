"""The instructor's answers: for each order and each cause it may hide, what gives it away, the best path, the wrong turns.

Made from the judge's own figures, never written by hand: difficulty is the bits that must be gained and the minutes
that the best path takes; a wrong turn is the cause that the readings so far make likeliest beside the true one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from statistics import mean, median

import numpy as np

from parked_hvac.assessment.case import best_for, cause_of
from parked_hvac.assessment.debrief_words import check_words, listed, percent, title
from parked_hvac.assessment.sound_words import sound_words
from parked_hvac.assessment.verdicts import IN, healthy
from parked_hvac.diagnosis.analysis import Weighed
from parked_hvac.diagnosis.candidates import NOTHING
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.path import opening
from parked_hvac.diagnosis.solution import CERTAIN, Solution
from parked_hvac.job.actions import AND
from parked_hvac.job.order import Order
from parked_hvac.job.seal import Ticket
from parked_hvac.rig.faults import faults

_SEED = 1
"""The variant that the guide shows; a learner's own has other tolerances and severities."""
_LIKELY = 0.08
"""A wrong cause less probable than this tempts nobody who reads what stands on the card."""
HARDER = (70, 88, 113, 147)
"""Bits times minutes, the mean over an order's causes, above which it is one step harder."""
HEAD = """# Answers

Made by `parked-hvac class answers`; do not edit. For you alone: nothing of it belongs on a learner's machine.

Each learner gets one cause of an order's pool, with severity and tolerances of their own, so figures differ a little
from those below. For each cause you find

- the *difficulty* of the order, 1 to 5: bits times minutes, the mean over its causes, in five classes (up to 70, 88, 113,
  147, and more);
- the *bits* that lead from all causes the truck can have to this one, the *minutes* of work that the best path takes,
  safe preparation and proving of the meter counted, and the repair;
- what gives it away: the reading of the path that adds most to its probability, and what sound trucks show there in
  the same state;
- the wrong turns: what else looks likely at two moments, by the readings so far. Ask a learner who names one of them
  which later reading speaks against it;
- the best path found, reading by reading; the state of the truck stands where it changes. **Bold** is what sound
  trucks do not show; the last column is how probable the readings so far make the cause (or those that no check tells
  from it). The path ends when that is 90 % or more.

Another path can be as good: economy is judged by minutes of work, not by which readings they went into.
"""


@dataclass(frozen=True)
class Answer:
    """One cause of one order, and how it is found."""

    order: Order
    cause: str
    found: Solution

    @property
    def title(self) -> str:
        """The cause in words."""
        return title(self.cause)

    @property
    def bits(self) -> float:
        """Bits from the prior to what the path leaves."""
        return self.found.analysis.start_bits - self.found.analysis.end_bits

    @property
    def solved(self) -> bool:
        """Whether the path's readings carry the conclusion."""
        return self.found.certainty >= CERTAIN


@dataclass(frozen=True)
class _Row:
    """One reading of the best path."""

    minute: float
    check: str
    shown: str
    sound: str
    odd: bool
    """Whether sound trucks do not show this."""
    before: Floats  # (C,)
    after: Floats  # (C,)


def answer(order: Order, group: tuple[str, ...]) -> Answer:
    """Find the best path for one cause of an order."""
    ticket = Ticket(order.id, "guide", group, _SEED)
    return Answer(order, cause_of(ticket), best_for(ticket))


def answers_page(chosen: Iterable[Order], told: Callable[[Answer], None]) -> str:
    """The page of answers in Markdown; ``told`` hears of each as it is found."""
    parts = [HEAD]
    rows = []
    for order in chosen:
        found = []
        for group in order.causes:
            found.append(answer(order, group))
            told(found[-1])
        rows.append(_row(order, found))
        parts.append(_section(order, found))
    table = "| order | lesson | difficulty | bits | minutes of the best path | causes |\n| --- | --- | --- | --- | --- | --- |"
    return "\n".join([parts[0], table, *rows, *parts[1:]]).rstrip("\n")


def _row(order: Order, found: list[Answer]) -> str:
    bits, hard = median(one.bits for one in found), difficulty(found)
    minutes = sorted({round(one.found.minutes) for one in found})
    span = " to ".join(str(minute) for minute in dict.fromkeys((minutes[0], minutes[-1])))
    return f"| [{order.title}](#{order.id}) | {order.lesson} | {hard} | {bits:.1f} | {span} | {len(found)} |"


def difficulty(found: Sequence[Answer]) -> int:
    """Difficulty of an order from 1 to 5: how many bits its causes ask for, and how many minutes of work they take."""
    effort = mean(one.bits * one.found.minutes for one in found)
    return 1 + sum(effort > more for more in HARDER)


def _section(order: Order, found: list[Answer]) -> str:
    lines = [f'\n## <a id="{order.id}"></a>{order.title} (`{order.id}`)\n', f"> {order.complaint}\n"]
    if order.history:
        lines.append(f"{order.history}\n")
    for one in found:
        lines.extend(_cause(one))
    return "\n".join(lines)


def _cause(one: Answer) -> Iterator[str]:
    rows = list(_rows(one.found))
    names = one.found.analysis.names
    same = [names.index(name) for name in one.found.alike]
    surest = max(rows, key=lambda row: _sure(row.after, same) - _sure(row.before, same))
    note = "" if one.solved else f"; its readings reach only {percent(one.found.certainty)}"
    yield f"### {one.title}\n"
    repairs = " ".join(faults()[name].repair for name in one.cause.split(AND))
    yield f"- {one.bits:.1f} bits, {one.found.minutes:.0f} minutes{note}. Repair: {repairs}"
    others = [name for name in one.found.alike if name != one.cause]
    if others:
        which = listed([title(name) for name in others], len(others))
        yield f"- No check tells it from: {which}. Naming any of these is right."
    yield f"- Gives it away: {surest.check}: {_shown(surest)}. {_beside(surest)}"
    for when, row in _turns(rows, surest):
        likely = _rivals(row.before, names, same)
        if likely:
            yield f"- Wrong turns {when}: {likely}."
    yield ""
    yield "| minute | reading | shown | sound trucks show | this cause |\n| --- | --- | --- | --- | --- |"
    state = ""
    for row in rows:
        # The state of the truck stands where it changes.
        check, _, now = row.check.rpartition("; ")
        where, state = (check if now == state else row.check), now
        cells = (f"{row.minute:.0f}", where, _shown(row), _sound(row), percent(_sure(row.after, same)))
        yield f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |"
    yield ""


def _turns(rows: Sequence[_Row], surest: _Row) -> Iterator[tuple[str, _Row]]:
    """Two moments at which someone in haste would name a cause, as the reading that comes next."""
    first = len(opening())
    if len(rows) > first:
        yield "once the complaint is confirmed and the codes are read", rows[first]
    if rows.index(surest) > first:
        yield "just before that reading", surest


def _rivals(posterior: Floats, names: Sequence[str], same: Sequence[int]) -> str:
    """The likeliest other causes at a moment, '' where none is likely."""
    ranked = [int(i) for i in np.argsort(-posterior) if int(i) not in same and posterior[i] >= _LIKELY]
    return listed([f"{title(names[i])} ({percent(float(posterior[i]))})" for i in ranked[:3]])


def _rows(found: Solution) -> Iterator[_Row]:
    """The readings of the path; a reading more, such as the proving of the meter, comes before them all."""
    legs, names, minute = found.legs, found.analysis.names, 0.0
    nothing = names.index(NOTHING)
    weighed: Sequence[Weighed] = found.analysis.weighed[-len(legs) :]
    shown, seen = found.displays, found.seen
    for leg, display, observed, one in zip(legs, shown, seen, weighed, strict=True):
        minute += leg.minutes
        sound = one.of(nothing)
        yield _Row(
            minute,
            check_words(leg.check),
            display,
            sound_words(sound, display),
            IN not in healthy(observed, sound),
            one.before.posterior,
            one.after.posterior,
        )


def _sure(posterior: Floats, same: Sequence[int]) -> float:
    return min(float(posterior[list(same)].sum()), 1.0)


def _sound(row: _Row) -> str:
    return "the same" if row.sound == f"'{row.shown}'" else row.sound.replace("'", "")


def _beside(row: _Row) -> str:
    if not row.odd:
        return "A sound truck could show this too: it tells by what it rules out."
    return f"Sound trucks show {_sound(row)}."


def _shown(row: _Row) -> str:
    return f"**{row.shown}**" if row.odd else row.shown
