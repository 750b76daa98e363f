"""The instructor's answers: for each order and each cause it may hide, the best path found and what it shows.

Made from the judge's own figures, never written by hand: difficulty is the bits that must be gained and the minutes
that the best path takes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from statistics import median
from typing import Any

from parked_hvac.assessment.case import best_for, cause_of
from parked_hvac.diagnosis.solution import CERTAIN, Solution
from parked_hvac.job.order import Order
from parked_hvac.job.seal import Ticket
from parked_hvac.rig.faults import title_of

_SEED = 1
"""The variant that the guide shows; a learner's own has other tolerances and severities."""
HEAD = """# Answers

Made by `parked-hvac class answers`; do not edit. For you alone: nothing of it belongs on a learner's machine.

Each learner gets one cause of an order's pool, with severity and tolerances of their own, so figures differ a little from
those below. *Bits* is what must be learnt from the prior of all causes to the cause; *minutes* is the work of the best path
found. A path ends when the cause, or the causes that no check tells from it, are at least 0.9 probable by its own readings.
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
        return title_of(self.cause)

    @property
    def bits(self) -> float:
        """Bits from the prior to what the path leaves."""
        return self.found.analysis.start_bits - self.found.analysis.end_bits

    @property
    def solved(self) -> bool:
        """Whether the path's readings carry the conclusion."""
        return self.found.certainty >= CERTAIN


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
    return "\n".join([parts[0], table, *rows, "", *parts[1:]])


def _row(order: Order, found: list[Answer]) -> str:
    bits = median(one.bits for one in found)
    minutes = sorted(one.found.minutes for one in found)
    span = f"{minutes[0]:.0f} to {minutes[-1]:.0f}"
    return f"| [{order.title}](#{order.id}) | {order.lesson} | {order.difficulty} | {bits:.1f} | {span} | {len(found)} |"


def _section(order: Order, found: list[Answer]) -> str:
    lines = [f'\n## <a id="{order.id}"></a>{order.title} (`{order.id}`)\n', f"> {order.complaint}\n"]
    for one in found:
        note = "" if one.solved else f" (reaches {one.found.certainty:.2f} only)"
        lines.append(f"**{one.title}**: {one.bits:.1f} bits, {one.found.minutes:.0f} minutes{note}.")
        others = [name for name in one.found.alike if name != one.cause]
        if others:
            lines.append(f"No check tells it from: {', '.join(map(title_of, others))}.")
        lines.append(f"{_path(one.found)}\n")
    return "\n".join(lines)


def _path(found: Solution) -> str:
    """The readings of the path as one line each; what only prepares them is left out."""
    legs = found.path.legs
    # Each leg ends in its reading; a reading more, such as the proving of the meter, comes before them all.
    shown = found.displays[len(found.displays) - len(legs) :]
    return "\n".join(
        f"1. {_words(*leg.actions[-1])} ({leg.check.state}): {display}"
        for leg, display in zip(legs, shown, strict=True)
    )


def _words(verb: str, arguments: Mapping[str, Any]) -> str:
    if verb == "measure":
        return f"{arguments['function'].replace('_', ' ')}, {arguments['red']} to {arguments['black']}"
    return " ".join([verb.replace("_", " "), *(str(value) for value in arguments.values())])
