"""The debrief: what each step told, which taught most, where a leap was, the best path, and what to practise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from parked_hvac.assessment.retrace import Line
from parked_hvac.assessment.score import Score
from parked_hvac.assessment.verdicts import WORDS
from parked_hvac.diagnosis.analysis import Learned
from parked_hvac.diagnosis.path import Leg
from parked_hvac.job.actions import AND
from parked_hvac.job.skills import skills
from parked_hvac.rig.faults import faults

_SILENT_BITS = 0.01


@dataclass(frozen=True)
class Table:
    """A table: caption, heads, and rows of text."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Section:
    """A heading with paragraphs, a list and a table, each of them text."""

    heading: str
    paragraphs: tuple[str, ...] = ()
    points: tuple[str, ...] = ()
    table: Table | None = None


@dataclass(frozen=True)
class Debrief:
    """What a learner reads after a job."""

    summary: str
    sections: tuple[Section, ...]
    yours: tuple[tuple[float, float], ...]
    """(minute, causes still possible) after each of the learner's readings."""
    best: tuple[tuple[float, float], ...]
    """The same along the best path found."""


def debrief(score: Score) -> Debrief:
    """Everything the debrief says about a scored attempt, in words."""
    case = score.case
    sections = (
        _cause(score),
        _losses(score),
        _steps(score),
        _lessons(score),
        _best(score),
        _practise(score),
    )
    count = float(len(case.analysis.candidates))
    yours = [(0.0, count)]
    for line in case.trace.readings:
        learned = case.analysis.of(line.n)
        if learned is not None:
            yours.append((line.minute, float(learned.left)))
    best, minute = [(0.0, count)], 0.0
    for leg in case.best.path.legs:
        minute += leg.minutes
        best.append((minute, _still_possible(leg)))
    return Debrief(_summary(score), sections, tuple(yours), tuple(best))


def _summary(score: Score) -> str:
    words = f"{score.total:.0f} of 100 points."
    if score.capped_by:
        words += " A grave breach of safety caps the attempt: " + " ".join(score.capped_by)
    return words


def _cause(score: Score) -> Section:
    case = score.case
    truth = _title(score.cause)
    said = [f"The cause was: {truth}."]
    if len(case.alike) > 1:
        others = "; ".join(_title(name) for name in case.alike[1:])
        said.append(f"No check tells it from: {others}. Naming any of these counts as right.")
    if score.named is not None and not case.named_right:
        said.append(f"You named: {_title(score.named)}.")
    said.append(f"By your own readings it was {score.certainty:.0%} probable when you named a cause.")
    return Section("What it was", tuple(said))


def _losses(score: Score) -> Section:
    rows = tuple(
        (
            f"{loss.points:.1f}",
            "never done" if loss.line is None else f"line {loss.line}",
            loss.reason,
            loss.better,
        )
        for part in score.parts
        for loss in part.lost
        if loss.points >= 0.05
    )
    if not rows:
        return Section("What cost points", ("Nothing. This is how it is done.",))
    table = Table(
        "Points lost, why, and what would have been better", ("points", "where", "why", "better"), rows
    )
    return Section("What cost points", table=table)


def _steps(score: Score) -> Section:
    case = score.case
    said = case.trace.verdicts()
    rows = []
    for line in case.trace.readings:
        learned = case.analysis.of(line.n)
        if learned is None:
            continue
        verdict = said.get(str(line.reading))
        given = "none" if verdict is None else WORDS[str(verdict.arguments["verdict"])]
        rows.append(
            (
                f"{line.minute:.0f}",
                f"{line.label}, {line.state}",
                line.display,
                given,
                WORDS[case.deserved(line).best],
                str(learned.left),
            )
        )
    if not rows:
        return Section("What you knew after each step", ("You took no reading before you named the cause.",))
    head = ("minute", "reading", "shown", "your verdict", "the judge's", "causes left")
    table = Table(f"Of {len(case.analysis.candidates)} causes that the truck can have", head, tuple(rows))
    return Section("What you knew after each step", table=table)


def _lessons(score: Score) -> Section:
    case = score.case
    told = [(line, case.analysis.of(line.n)) for line in case.trace.readings]
    known = [(line, learned) for line, learned in told if learned is not None]
    points: list[str] = []
    if known:
        line, most = max(known, key=lambda pair: pair[1].gained_bits)
        if most.gained_bits > _SILENT_BITS:
            out = len(most.newly_out)
            points.append(
                f"The step that taught most: {line.label}, {line.display}. It ruled out {out} causes."
            )
        points += [
            f"Could not have told anything: {one.label}, {one.state}. {_why_silent(one)}"
            for one, learned in known
            if _silent(learned)
        ]
    conclusion = case.trace.conclusion
    if conclusion is not None and score.certainty < case.rubric.conclusion.certain:
        points.append(
            f"The leap: at minute {conclusion.minute:.0f} you named a cause while several were still possible. "
            "One more reading would have told."
        )
    return Section("What taught, and what could not", points=tuple(points) or ("Every step told something.",))


def _silent(learned: Learned) -> bool:
    return max(learned.telling_bits, learned.expected_bits, learned.gained_bits) < _SILENT_BITS


def _why_silent(line: Line) -> str:
    if line.verb == "measure" and "still" in line.state:
        return "Without its load a bad joint reads like a sound one."
    return "Every cause would have shown the same here."


def _best(score: Score) -> Section:
    legs = score.case.best.path.legs
    rows, minute = [], 0.0
    for leg, display in zip(legs, score.case.best.displays[-len(legs) :], strict=False):
        minute += leg.minutes
        rows.append((f"{minute:.0f}", _check_words(leg), display, f"{_still_possible(leg):.0f}"))
    table = Table(
        f"{score.best_minutes:.0f} minutes; yours took {score.minutes:.0f}",
        ("minute", "check", "shown", "causes left"),
        tuple(rows),
    )
    return Section("The safest and shortest path found", table=table)


def _practise(score: Score) -> Section:
    weak = [part.title for part in score.parts if part.points < 0.7 * part.maximum]
    points = [f"{title}: look at its lines above, then take another order." for title in weak]
    if not score.case.named_right:
        missed = set(score.cause.split(AND)) - set((score.named or "").split(AND))
        where = dict.fromkeys(faults()[name].skill for name in sorted(missed or score.cause.split(AND)))
        points += [f"{skills()[skill].title}: a cause lay here." for skill in where if skill in skills()]
    return Section("What to practise", points=tuple(points) or ("Nothing stands out. Take a harder order.",))


def _check_words(leg: Leg) -> str:
    words = ", ".join(str(value) for value in leg.check.arguments.values())
    return f"{leg.check.verb.replace('_', ' ')} {words} ({leg.check.state.replace('_', ' ')})"


def _still_possible(leg: Leg) -> float:
    """How many equally probable causes would leave as much open: two to the power of the entropy in bits."""
    return float(np.ceil(2.0**leg.entropy_bits - 0.05))


def _title(name: str) -> str:
    return " and ".join(faults()[part].title for part in name.split(" + "))
