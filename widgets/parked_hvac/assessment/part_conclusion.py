"""The end of a job: a conclusion that readings carry, the minutes and parts it took, and the repair proved."""

from __future__ import annotations

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.retrace import asked_to_cool
from parked_hvac.assessment.scored import Loss
from parked_hvac.diagnosis.candidates import NOTHING
from parked_hvac.rig.faults import faults

_RERUN_S = 60.0
_PROVING = frozenset({"feel", "look", "listen", "measure", "clamp", "thermometer", "read_live"})


def conclusion(case: Case) -> list[Loss]:
    """Conclusion carried by evidence: true cause (or its class) named and 0.9 probable by the learner's readings."""
    whole, figures = case.rubric.parts.conclusion.points, case.rubric.conclusion
    line = case.trace.conclusion
    if line is None:
        return [Loss(whole, None, "No cause was named.", "Name the cause that your readings leave.")]
    truth = _title(case.cause)
    named = str(case.named)
    if not case.named_right:
        followed = case.analysis.probability(named) >= figures.fair_error
        points = whole - (figures.fair_error_points if followed else 0.0)
        reason = f"'{_title(named)}' was named; it was '{truth}'."
        if followed:
            reason += " Your readings did point there: you stopped one reading early."
        return [
            Loss(
                points, line.line, reason, "Look for a reading that the cause you believe in cannot explain."
            )
        ]
    if case.certainty >= figures.certain:
        return []
    earned = figures.guess * case.evidence
    reason = f"The right cause, but your own readings made it only {case.certainty:.0%} probable: the rest was luck."
    return [Loss(whole - earned, line.line, reason, _next_reading(case))]


def economy(case: Case) -> list[Loss]:
    """Economy: minutes against the best path found for this very truck, and no part changed in vain."""
    figures, line = case.rubric.economy, case.trace.conclusion
    if line is None or not case.named_right or case.certainty < case.rubric.conclusion.certain:
        reason = "Economy counts for a cause that was found; a quick guess saves nothing."
        return [
            Loss(
                figures.minutes + figures.parts,
                None if line is None else line.line,
                reason,
                "Find the cause first.",
            )
        ]
    lost = []
    ratio = line.minute / max(case.best.minutes, 1.0)
    share = min(max((ratio - figures.full_at) / (figures.none_at - figures.full_at), 0.0), 1.0)
    if share > 0:
        reason = f"{line.minute:.0f} minutes to the cause; the best path found takes {case.best.minutes:.0f}."
        lost.append(
            Loss(
                figures.minutes * share,
                line.line,
                reason,
                "See the best path below: which step told most per minute?",
            )
        )
    vain = [one for one in case.trace.repairs if str(one.arguments["fault"]) not in case.alike]
    for one in vain:
        reason = f"'{_title(str(one.arguments['fault']))}' was repaired, and nothing was wrong there."
        lost.append(Loss(figures.parts / 2, one.line, reason, "Repair only what a reading has convicted."))
    return lost


def repair(case: Case) -> list[Loss]:
    """Repair proved and written up; a person marks the words."""
    figures = case.rubric.repair
    lost = []
    right = next((one for one in case.trace.repairs if str(one.arguments["fault"]) in case.alike), None)
    nothing = case.cause == NOTHING
    if right is None and not (nothing and not case.trace.repairs and case.named_right):
        reason = "What was wrong was not repaired."
        lost.append(Loss(figures.right_repair, None, reason, "Repair the cause you named."))
    since = (
        right.n
        if right is not None
        else (case.trace.conclusion.n if nothing and case.trace.conclusion else None)
    )
    if not _reran(case, since):
        reason = "Nobody brought the complaint about again after the repair."
        lost.append(
            Loss(figures.rerun, None, reason, "Run the unit for a minute as the driver does and observe it.")
        )
    written = [line for line in case.trace.lines if line.verb == "write_up"]
    texts = written[-1].arguments if written else {}
    if not all(str(texts.get(name, "")).strip() for name in ("complaint", "cause", "correction")):
        lost.append(
            Loss(
                figures.write_up,
                None,
                "The write-up is not complete.",
                "Write complaint, cause and correction, a line each.",
            )
        )
    return lost


def _reran(case: Case, since: int | None) -> bool:
    """Whether the unit ran for a minute after that action and was then observed."""
    if since is None:
        return False
    after = (line for line in case.trace.lines if line.n > since)
    return any(seconds >= _RERUN_S and line.verb in _PROVING for line, seconds in asked_to_cool(after))


def _next_reading(case: Case) -> str:
    legs = case.best.path.legs
    if not legs:
        return "Take one more reading that only this cause explains."
    return f"Take one more reading that only this cause explains, such as the best path's last: {legs[-1].check.key}."


def _title(name: str) -> str:
    return " and ".join(faults()[part].title for part in name.split(" + "))
