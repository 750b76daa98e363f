"""The readings: taken right, and understood."""

from __future__ import annotations

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.debrief_words import percent
from parked_hvac.assessment.scored import Loss
from parked_hvac.assessment.verdicts import WORDS, pushed_into_live
from parked_hvac.assessment.worth import idle_readings, late_readings, weight

_FAIR_PROBABILITY = 0.1


def technique(case: Case) -> list[Loss]:
    """Reading taken right: the meter proved, and each reading able to tell something, on a dead circuit for ohms."""
    figures, readings = case.rubric.technique, case.trace.readings
    lost = _meter(case)
    if not readings:
        reason = "No reading was taken before the cause was named."
        return [*lost, Loss(figures.readings, None, reason, "Let readings name the cause.")]
    lost += _too_little(case, figures.readings)
    pool = figures.readings * case.progress
    idle = idle_readings(case)
    fit = max(len(readings) - len(idle), 1)
    for line in readings:
        if pushed_into_live(line):
            reason = f"{line.label}: ohms on a circuit that is not dead; the display is not a resistance."
            better = "Free the part of current first: fuse out or plug parted."
            lost.append(Loss(pool / (len(readings) if line.n in idle else fit), line.line, reason, better))
        elif line.n in idle:
            # By the number of all readings, so that a reading that adds nothing can only lose.
            points = pool / len(readings) * (1.0 - figures.untelling_share)
            reason = f"{line.label}, {line.state}: {idle[line.n].reason}."
            lost.append(Loss(points, line.line, reason, idle[line.n].better, idle[line.n].reason))
    return lost


def understanding(case: Case) -> list[Loss]:
    """Reading understood: the verdicts, and whether the conclusion fits what the readings left."""
    figures, readings = case.rubric.understanding, case.trace.readings
    if not readings:
        reason, better = "There was no reading to understand.", "Take readings and judge each."
        return [Loss(figures.verdicts, None, reason, better), *_what_is_left(case)]
    lost = _too_little(case, figures.verdicts)
    said = case.trace.verdicts()
    pool = figures.verdicts * case.progress
    weights = {line.n: weight(case, line) for line in readings}
    whole = sum(weights.values())
    for line in readings:
        # One that added nothing wins nothing, but a wrong verdict on it shows as much as on another.
        each = pool * (weights[line.n] / whole if weights[line.n] else 1.0 / len(readings)) if whole else pool
        verdict = said.get(str(line.reading))
        worth = case.deserved(line)
        better = f"'{WORDS[worth.best]}': {worth.why}."
        if verdict is None:
            lost.append(
                Loss(each, line.line, f"{line.label} showed '{line.display}'. No verdict was given.", better)
            )
            continue
        given = str(verdict.arguments["verdict"])
        share = float(worth.share[given])
        if share < 1.0:
            reason = f"{line.label} showed '{line.display}'; you judged it '{WORDS[given]}'."
            lost.append(Loss(each * (1.0 - share), verdict.line, reason, better))
    return [*lost, *_what_is_left(case)]


def _meter(case: Case) -> list[Loss]:
    """What is lost where the meter was not proved before its first reading, or had no part in the work."""
    worth, lines = case.rubric.technique.meter_proved, case.trace.diagnosis
    first = next((line for line in lines if line.verb == "measure"), None)
    proved = next((line for line in lines if line.verb == "prove_meter"), None)
    better = "Prove the meter on the known source before its first reading."
    if proved is None:
        return [Loss(worth, None, "The meter was never proved.", better)]
    if first is None and case.progress < 1.0:
        reason = "The meter was proved and then not used."
        return [
            Loss(worth * (1.0 - case.progress), proved.line, reason, "Measure what the complaint points to.")
        ]
    if first is not None and first.n < proved.n:
        reason = "The meter was proved only after readings had been taken."
        return [Loss(worth / 2, proved.line, reason, better)]
    return []


def _too_little(case: Case, points: float) -> list[Loss]:
    """Readings are worth their points only as far as they took the uncertainty away."""
    if case.progress >= 1.0:
        return []
    reason = f"Your readings took away {percent(case.progress)} of the uncertainty that must go before a cause can be named."
    better = "Go on with readings that tell the causes left from each other."
    return [Loss(points * (1.0 - case.progress), None, reason, better, kind="too little")]


def _what_is_left(case: Case) -> list[Loss]:
    figures = case.rubric.understanding
    worth, conclusion = figures.what_is_left, case.trace.conclusion
    if conclusion is None or case.named is None:
        reason = "No cause was named, so nothing shows what the readings were thought to leave."
        return [Loss(worth, None, reason, "Name the cause that your readings leave.")]
    if case.repaired_first and case.certainty < case.rubric.conclusion.certain:
        reason = (
            "The cause was named after a repair, so nothing shows what the readings were thought to leave."
        )
        return [Loss(worth, conclusion.line, reason, "Name the cause that your readings leave, then repair.")]
    late = late_readings(case)
    probability = case.certainty if case.named_right else case.analysis.probability(case.named)
    share = case.progress
    if probability < case.rubric.conclusion.fair_error:
        share = share / 2 if probability >= _FAIR_PROBABILITY else 0.0
    if late and share > 0:
        kept = share * max(0.0, 1.0 - len(late) / figures.vain)
        reason = f"You went on for {len(late)} readings although yours had left one cause, and confirmed it."
        better = "Ask after each reading what is left. With one cause left, conclude."
        return [Loss(worth * (1.0 - kept), late[0] + 1, reason, better)]
    if share >= 1.0:
        return []
    likeliest = case.analysis.ranked(1)[0]
    titles = {candidate.name: candidate.title for candidate in case.analysis.candidates}
    reason = f"By your readings the cause you named was {percent(probability)} probable."
    if likeliest[0] == case.named:
        better = "No other was likelier, but many together were: ask after each reading what else would show the same."
    else:
        better = f"They pointed most at '{titles[likeliest[0]]}' ({percent(likeliest[1])}); ask what else would show the same."
    return [Loss(worth * (1.0 - share), conclusion.line, reason, better)]
