"""The readings: taken right, and understood."""

from __future__ import annotations

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.retrace import Line
from parked_hvac.assessment.scored import Loss
from parked_hvac.assessment.verdicts import WORDS

_FAIR_PROBABILITY = 0.1


def technique(case: Case) -> list[Loss]:
    """Reading taken right: the meter proved, and each reading able to tell something, on a dead circuit for ohms."""
    figures = case.rubric.technique
    lines, readings = case.trace.diagnosis, case.trace.readings
    lost = []
    measured = [line for line in lines if line.verb == "measure"]
    proved = next((line for line in lines if line.verb == "prove_meter"), None)
    better = "Prove the meter on the known source before its first reading."
    if proved is None:
        lost.append(Loss(figures.meter_proved, None, "The meter was never proved.", better))
    elif measured and measured[0].n < proved.n:
        reason = "The meter was proved only after readings had been taken."
        lost.append(Loss(figures.meter_proved / 2, proved.line, reason, better))
    if not readings:
        reason = "No reading was taken before the cause was named."
        return [*lost, Loss(figures.readings, None, reason, "Let readings name the cause.")]
    each = figures.readings / len(readings)
    seen: set[tuple[object, ...]] = set()
    for line in readings:
        key = (line.verb, *map(str, line.arguments.values()), line.mode)
        if _pushed_into_live(line):
            reason = f"{line.label}: ohms with a voltage across the leads; the display is not a resistance."
            lost.append(
                Loss(each, line.line, reason, "Free the part of current first: fuse out or plug parted.")
            )
        elif not _can_tell(case, line):
            points = each * (1.0 - figures.untelling_share)
            reason = f"{line.label}, {line.state}: no cause would have changed this reading."
            lost.append(
                Loss(points, line.line, reason, "Take it in the state in which the part carries its load.")
            )
        elif key in seen:
            points = each * (1.0 - figures.untelling_share)
            reason = f"{line.label}: taken before in the same state."
            lost.append(
                Loss(points, line.line, reason, "One good reading is enough; go on to the next question.")
            )
        seen.add(key)
    return lost


def understanding(case: Case) -> list[Loss]:
    """Reading understood: the verdicts, and whether the conclusion fits what the readings left."""
    figures, readings = case.rubric.understanding, case.trace.readings
    lost = []
    said = case.trace.verdicts()
    if not readings:
        lost.append(
            Loss(
                figures.verdicts, None, "There was no reading to understand.", "Take readings and judge each."
            )
        )
    else:
        each = figures.verdicts / len(readings)
        for line in readings:
            verdict = said.get(str(line.reading))
            worth = case.deserved(line)
            if verdict is None:
                reason = f"{line.label}: {line.display}. No verdict was given."
                lost.append(Loss(each, line.line, reason, f"Judge it: {WORDS[worth.best]}, {worth.why}."))
                continue
            given = str(verdict.arguments["verdict"])
            share = float(worth.share[given])
            if share < 1.0:
                reason = f"{line.label}: {line.display} was judged '{WORDS[given]}'."
                better = f"'{WORDS[worth.best]}': {worth.why}."
                lost.append(Loss(each * (1.0 - share), verdict.line, reason, better))
    return [*lost, *_what_is_left(case)]


def _what_is_left(case: Case) -> list[Loss]:
    worth = case.rubric.understanding.what_is_left
    if case.named is None:
        reason = "No cause was named, so nothing shows what the readings were thought to leave."
        return [Loss(worth, None, reason, "Name the cause that your readings leave.")]
    probability = case.certainty if case.named_right else case.analysis.probability(case.named)
    share = case.progress
    if probability < case.rubric.conclusion.fair_error:
        share = share / 2 if probability >= _FAIR_PROBABILITY else 0.0
    if share >= 1.0:
        return []
    likeliest = case.analysis.ranked(1)[0]
    titles = {candidate.name: candidate.title for candidate in case.analysis.candidates}
    conclusion = case.trace.conclusion
    return [
        Loss(
            worth * (1.0 - share),
            None if conclusion is None else conclusion.line,
            f"By your readings the cause you named was {probability:.0%} probable.",
            f"They pointed most at '{titles[likeliest[0]]}' ({likeliest[1]:.0%}); ask what else would show the same.",
        )
    ]


def _pushed_into_live(line: Line) -> bool:
    if line.verb != "measure" or line.arguments.get("function") not in ("ohms", "continuity", "diode"):
        return False
    return abs(float(line.context.get("live_V", 0.0) or 0.0)) > 0.05


def _can_tell(case: Case, line: Line) -> bool:
    learned = case.analysis.of(line.n)
    limit = case.rubric.technique.untelling_bits
    return learned is None or max(learned.telling_bits, learned.expected_bits, learned.gained_bits) >= limit
