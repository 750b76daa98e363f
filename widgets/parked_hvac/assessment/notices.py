"""What an instructor may want to know of an attempt, in plain words. No notice changes a point.

Each names a way of working that wins nothing in the score and that a person would talk about with the learner.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.debrief_words import percent
from parked_hvac.assessment.retrace import Line

_OFTEN = 4
_FLIPS = 3
_MANY_REPAIRS = 3
_LITTLE = 0.3
_MARKUP = ("<", "{{", "{%", "$$", "](", "javascript:")


def notices(case: Case) -> tuple[str, ...]:
    """A sentence for each conspicuous way of working, in the order of the course's list of attacks."""
    lines = case.trace.lines
    found = (
        _conclusions(lines),
        _unread(case),
        _told(case),
        _again(case.trace.readings),
        _verdicts(lines),
        _afterwards(lines),
        _repairs(lines),
        _markup(lines),
    )
    return tuple(sentence for sentence in found if sentence)


def _conclusions(lines: Sequence[Line]) -> str:
    named = dict.fromkeys(str(line.arguments["cause"]) for line in lines if line.verb == "conclude")
    if len(named) < 2:
        return ""
    return f"{len(named)} causes were named one after the other; the first counts."


def _unread(case: Case) -> str:
    if case.trace.conclusion is None or case.trace.readings:
        return ""
    return "A cause was named before any reading of the truck."


def _told(case: Case) -> str:
    if not case.named_right or case.certainty >= _LITTLE:
        return ""
    return (
        f"The true cause was named although the readings made it only {percent(case.certainty)} probable: "
        "where was it known from?"
    )


def _again(readings: Sequence[Line]) -> str:
    times = Counter((line.label, line.mode) for line in readings)
    often = [label for (label, _), count in times.items() if count >= _OFTEN]
    if not often:
        return ""
    return (
        f"Taken {_OFTEN} times or more in one state: {', '.join(often[:3])}; what is taken again counts once."
    )


def _verdicts(lines: Sequence[Line]) -> str:
    given: dict[str, list[str]] = {}
    for line in lines:
        if line.verb == "judge":
            given.setdefault(str(line.arguments["reading"]), []).append(str(line.arguments["verdict"]))
    flips = {reading: sum(a != b for a, b in pairwise(said)) for reading, said in given.items()}
    worst = [reading for reading, count in flips.items() if count >= _FLIPS]
    if not worst:
        return ""
    return f"The verdict on {', '.join(worst[:3])} was changed {_FLIPS} times or more; the last one before the cause counts."


def _afterwards(lines: Sequence[Line]) -> str:
    """Verdicts that came when the cause was known."""
    first = next((line.n for line in lines if line.verb == "conclude"), len(lines) + 1)
    numbers = {line.reading: line.n for line in lines if line.reading is not None}
    late = [
        line
        for line in lines
        if line.verb == "judge" and line.n > first > numbers.get(str(line.arguments["reading"]), first)
    ]
    if not late:
        return ""
    return f"{len(late)} verdicts were given after a cause was named; they do not count."


def _repairs(lines: Sequence[Line]) -> str:
    names = {str(line.arguments["fault"]) for line in lines if line.verb == "repair"}
    if len(names) < _MANY_REPAIRS:
        return ""
    return f"{len(names)} different repairs were carried out; each one in vain costs points."


def _markup(lines: Sequence[Line]) -> str:
    texts = [
        str(text) for line in lines if line.verb in ("write_up", "note") for text in line.arguments.values()
    ]
    if not any(sign in text for text in texts for sign in _MARKUP):
        return ""
    return "What was written holds signs of markup or code; it is shown as plain text everywhere."
