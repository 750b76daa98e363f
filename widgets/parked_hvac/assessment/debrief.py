"""The debrief: what each step told, which taught most, where a leap was, the best path, and what to practise."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from parked_hvac.assessment.debrief_words import check_words, listed, percent, title
from parked_hvac.assessment.practise import practise
from parked_hvac.assessment.retrace import Line
from parked_hvac.assessment.score import Score
from parked_hvac.assessment.scored import Loss
from parked_hvac.assessment.verdicts import WORDS
from parked_hvac.assessment.worth import idle_readings
from parked_hvac.diagnosis.analysis import Analysis, Learned
from parked_hvac.diagnosis.labour_time import minutes_of

_TAUGHT_BITS = 0.05
_FEW = 3
_POSSIBLE = 0.02


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
        _steps(score),
        _taught(score),
        _losses(score),
        _best(score),
        Section("What to practise", points=practise(score)),
    )
    count = float(len(case.analysis.candidates))
    yours = [(0.0, count)] + [(_read_at(line), float(learned.left)) for line, learned in _known(score)]
    best, minute = [(0.0, count)], 0.0
    for leg, learned in zip(case.best.legs, _best_learned(score), strict=True):
        minute += leg.minutes
        best.append((minute, float(learned.left)))
    return Debrief(_summary(score), sections, tuple(yours), tuple(best))


def _summary(score: Score) -> str:
    case, words = score.case, f"{score.total:.0f} of 100 points."
    if score.capped_by:
        words += " A grave breach of safety caps the attempt: " + " ".join(score.capped_by)
    sure = score.certainty >= case.rubric.conclusion.certain
    if score.named is None:
        return f"{words} No cause was named."
    if case.named_right:
        return f"{words} You found the cause" + (
            ", and your readings prove it." if sure else ", but your readings do not prove it yet."
        )
    return f"{words} You named another cause than the true one" + (
        ", although your readings had found it." if sure else "."
    )


def _cause(score: Score) -> Section:
    case = score.case
    said = [f"The cause was: {title(score.cause)}."]
    if len(case.alike) > 1:
        others = listed([title(name) for name in case.alike[1:]])
        said.append(f"No check tells it from: {others}. Naming any of these counts as right.")
    if score.named is not None and not case.named_right:
        named = percent(case.analysis.probability(score.named))
        said.append(f"You named: {title(score.named)}.")
        said.append(
            f"By your own readings the true cause was {percent(score.certainty)} probable at that moment, "
            f"the one you named {named}."
        )
    elif score.named is not None:
        said.append(f"By your own readings it was {percent(score.certainty)} probable when you named it.")
    return Section("What it was", tuple(said))


def _steps(score: Score) -> Section:
    case, said = score.case, score.case.trace.verdicts()
    rows = []
    for line, learned in _known(score):
        verdict = said.get(str(line.reading))
        given = "none" if verdict is None else WORDS[str(verdict.arguments["verdict"])]
        rows.append(
            (
                f"{_read_at(line):.0f}",
                f"{line.label}; {line.state}",
                line.display,
                given,
                WORDS[case.deserved(line).best],
                _left(case.analysis, learned),
            )
        )
    if not rows:
        return Section("What you knew after each step", ("You took no reading before you named the cause.",))
    head = ("minute", "reading", "shown", "your verdict", "the judge's", "causes left")
    table = Table(f"Of {len(case.analysis.candidates)} causes that the truck can have", head, tuple(rows))
    return Section("What you knew after each step", table=table)


def _taught(score: Score) -> Section:
    points = [*_most(score), *_silent(score), *_leap(score)]
    return Section("What taught, and what could not", points=tuple(points) or ("Every step told something.",))


def _most(score: Score) -> list[str]:
    known = _known(score)
    if not known:
        return []
    line, most = max(known, key=lambda pair: pair[1].gained_bits)
    if most.gained_bits < _TAUGHT_BITS:
        return ["No step taught much."]
    told = f"The step that taught most: {line.label}, {line.display}."
    out = [title(name) for name in most.newly_out]
    if out:
        told += f" It ruled out {len(out)} causes, such as: {'; '.join(out[:2])}."
    else:
        told += " It ruled nothing out, but made some causes much likelier than others."
    return [told]


def _silent(score: Score) -> list[str]:
    """Readings that could add nothing, those of one reason together."""
    groups: dict[str, list[Line]] = {}
    idle = idle_readings(score.case)
    for line, _ in _known(score):
        if line.n in idle:
            groups.setdefault(f"{idle[line.n].reason}. {idle[line.n].better}", []).append(line)
    points = []
    for why, lines in groups.items():
        which = listed([line.label for line in lines])
        points.append(f"Could add nothing: {which}. Why: {why}")
    return points


def _leap(score: Score) -> list[str]:
    """Where a cause was named before, or against, what the readings had left."""
    case = score.case
    line, certain = case.trace.conclusion, case.rubric.conclusion.certain
    if line is None or score.named is None:
        return []
    if case.named_right and score.certainty >= certain:
        return []
    when = f"The leap: at minute {line.minute:.0f} you named {title(score.named)}"
    if score.certainty >= certain:
        return [f"{when}, although your readings had left {title(score.cause)}.{_against(score)}"]
    ranked = [(name, p) for name, p in case.analysis.ranked(4) if p >= _POSSIBLE and name != score.named]
    left = [f"{title(name)} ({percent(p)})" for name, p in ranked]
    told = f"{when} while more was possible: {listed(left) or 'much else, a little of each'}."
    key = _telling_step(score)
    return [f"{told} A reading that would have told more: {key}." if key else told]


def _against(score: Score) -> str:
    """The reading that spoke most against the cause that was named."""
    names, named = score.case.analysis.names, score.named
    if named not in names:
        return ""
    at, before, worst = names.index(named), float(score.case.analysis.prior[names.index(named)]), None
    for line, learned in _known(score):
        after = float(learned.posterior[at])
        fall = before / max(after, 1e-12)
        if worst is None or fall > worst[0]:
            worst = (fall, line)
        before = after
    if worst is None or worst[0] < 2.0:
        return ""
    return f" What spoke against it: {worst[1].label}, {worst[1].display}."


def _telling_step(score: Score) -> str:
    """The step of the best path that taught most, of those that the learner did not take."""
    taken = {(line.verb, *map(str, line.arguments.values())) for line, _ in _known(score)}
    open_steps = [
        (learned.gained_bits, check_words(leg.check))
        for leg, learned in zip(score.case.best.legs, _best_learned(score), strict=True)
        if (leg.check.verb, *map(str, leg.check.arguments.values())) not in taken
    ]
    return max(open_steps)[1] if open_steps else ""


def _losses(score: Score) -> Section:
    every = [loss for part in score.parts for loss in part.lost]
    minutes = {line.line: line.minute for line in score.case.trace.lines}
    lost = [loss for loss in _together(every, minutes) if loss[0].points >= 0.05]
    if not lost:
        return Section("What cost points", ("Nothing. This is how it is done.",))
    rows = tuple((f"{one.points:.1f}", where, one.reason, one.better) for one, where in lost)
    table = Table(
        "Points lost, why, and what would have been better", ("points", "where", "why", "better"), rows
    )
    return Section("What cost points", table=table)


def _together(lost: Sequence[Loss], minutes: Mapping[int, float]) -> list[tuple[Loss, str]]:
    """Losses with where they lie; those of one kind in one."""
    groups: dict[str, list[Loss]] = {}
    for number, loss in enumerate(lost):
        groups.setdefault(loss.kind or str(number), []).append(loss)
    told = []
    for kind, same in groups.items():
        points = sum(one.points for one in same)
        lines = list(
            dict.fromkeys(
                f"minute {minutes.get(one.line, 0.0):.0f} (line {one.line})"
                for one in same
                if one.line is not None
            )
        )
        reason = same[0].reason if len(same) == 1 or not lines else f"{len(same)} readings: {kind}."
        where = listed(lines, 2).replace(";", ",") if lines else ("in all" if same[0].kind else "never done")
        told.append((replace(same[0], points=points, reason=reason), where))
    return told


def _best(score: Score) -> Section:
    case = score.case
    legs = case.best.legs
    rows, minute = [], 0.0
    displays = case.best.displays
    for leg, display, learned in zip(legs, displays, _best_learned(score), strict=True):
        minute += leg.minutes
        rows.append((f"{minute:.0f}", check_words(leg.check), display, _left(case.best.analysis, learned)))
    conclusion = case.trace.conclusion
    yours = score.minutes if conclusion is None else conclusion.minute
    table = Table(
        f"{score.best_minutes:.0f} minutes to the cause, preparation and safe way counted; yours took {yours:.0f}",
        ("minute", "check", "shown", "causes left"),
        tuple(rows),
    )
    return Section("The safest and shortest path found", table=table)


def _known(score: Score) -> list[tuple[Line, Learned]]:
    """Readings of the truck with what they taught."""
    case = score.case
    found = [(line, case.analysis.of(line.n)) for line in case.trace.readings]
    return [(line, learned) for line, learned in found if learned is not None]


def _read_at(line: Line) -> float:
    """The minute at which a reading was done."""
    return line.minute + minutes_of(line.verb, line.arguments)


def _best_learned(score: Score) -> tuple[Learned, ...]:
    """What each check of the best path taught, really taken; the meter's proof comes before them."""
    best = score.case.best
    return best.analysis.learned[-len(best.legs) :]


def _left(analysis: Analysis, learned: Learned) -> str:
    """How many causes are left, and which where they are few."""
    if learned.left > _FEW:
        return str(learned.left)
    likely = sorted(zip(learned.posterior, analysis.names, strict=True), reverse=True)[: learned.left]
    return f"{learned.left}: {listed([title(name) for _, name in likely])}"
