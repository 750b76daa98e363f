"""The end of a job: a conclusion that readings carry, the minutes and parts it took, and the repair proved."""

from __future__ import annotations

from dataclasses import replace

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.debrief_words import check_words, percent
from parked_hvac.assessment.retrace import asked_to_cool
from parked_hvac.assessment.scored import Loss
from parked_hvac.assessment.worth import late_readings
from parked_hvac.diagnosis.candidates import NOTHING
from parked_hvac.job.actions import AND
from parked_hvac.rig.faults import title_of

_RERUN_S = 60.0
_PARTS_IN_VAIN = 2
"""So many sound parts repaired take all points for doing nothing in vain."""
_PROVING = frozenset({"feel", "look", "listen", "measure", "clamp", "thermometer", "read_live"})


def conclusion(case: Case) -> list[Loss]:
    """Conclusion carried by evidence: true cause (or its class) named and 0.9 probable by the learner's readings."""
    whole, figures = case.rubric.parts.conclusion.points, case.rubric.conclusion
    line = case.trace.conclusion
    if line is None:
        return [Loss(whole, None, "No cause was named.", "Name the cause that your readings leave.")]
    truth = title_of(case.cause)
    named = str(case.named)
    if not case.named_right and _half_right(case):
        reason = f"'{title_of(named)}' was named; it was '{truth}'."
        better = "Ask after each finding: does it explain every reading? What is left over has another cause."
        return [Loss(whole - figures.half_right, line.line, reason, better)]
    if not case.named_right:
        followed = case.analysis.probability(named) >= figures.fair_error
        points = whole - (figures.fair_error_points if followed else 0.0)
        reason = f"'{title_of(named)}' was named; it was '{truth}'."
        if followed:
            reason += " Your readings did point there: you stopped one reading early."
        return [
            Loss(
                points, line.line, reason, "Look for a reading that the cause you believe in cannot explain."
            )
        ]
    if case.certainty >= figures.certain:
        return []
    if case.repaired_first:
        reason = "Parts were repaired first, and the cause named by what helped."
        return [
            Loss(
                whole, case.trace.repairs[0].line, reason, "Let readings convict a part before you touch it."
            )
        ]
    reason = f"The right cause, but your own readings made it only {percent(case.certainty)} probable"
    reason += "." if case.certainty >= figures.likely else ": the rest was luck."
    return [Loss(whole * (1.0 - case.carried), line.line, reason, _next_reading(case))]


def economy(case: Case) -> list[Loss]:
    """Economy: minutes against the best path found for this very truck, and nothing done in vain."""
    figures, line = case.rubric.economy, case.trace.conclusion
    counts = case.carried if line is not None and case.named_right else 0.0
    lost = []
    if counts < 1.0:
        reason = "Economy counts as far as the cause was found; a quick guess saves nothing."
        points = (figures.minutes + figures.vain) * (1.0 - counts)
        lost.append(Loss(points, None if line is None else line.line, reason, "Find the cause first."))
    if line is None or counts == 0.0:
        return lost
    ratio = line.minute / max(case.best.minutes, 1.0)
    share = min(max((ratio - figures.full_at) / (figures.none_at - figures.full_at), 0.0), 1.0)
    if share > 0:
        reason = f"{line.minute:.0f} minutes to the cause; the best path found takes {case.best.minutes:.0f}."
        better = "See the best path below: which step told most per minute?"
        lost.append(Loss(figures.minutes * share * counts, line.line, reason, better))
    return lost + [replace(loss, points=loss.points * counts) for loss in _in_vain(case)]


def _in_vain(case: Case) -> list[Loss]:
    """What was done for nothing: sound parts repaired, and readings when one cause was left and confirmed."""
    whole = case.rubric.economy.vain
    bad = {part for name in case.alike for part in name.split(AND)}
    lost: list[Loss] = []
    for one in case.trace.repairs:
        name = str(one.arguments["fault"])
        if name not in bad and len(lost) < _PARTS_IN_VAIN:
            reason = f"'{title_of(name)}' was repaired, and nothing was wrong there."
            better = "Repair only what a reading has convicted."
            lost.append(Loss(whole / _PARTS_IN_VAIN, one.line, reason, better))
    late = late_readings(case)
    share = min(len(late) / case.rubric.understanding.vain, 1.0 - len(lost) / _PARTS_IN_VAIN)
    if share > 0:
        reason = f"{len(late)} readings were taken when one cause was left, and confirmed."
        lost.append(Loss(whole * share, late[0] + 1, reason, "With one cause left, conclude."))
    return lost


def repair(case: Case) -> list[Loss]:
    """Repair proved and written up; a person marks the words."""
    figures = case.rubric.repair
    lost = []
    done, share = _repaired(case)
    nothing = case.cause == NOTHING
    if share < 1.0 and not (nothing and not case.trace.repairs and case.named_right):
        reason = "Only one of two causes was repaired." if share else "What was wrong was not repaired."
        lost.append(
            Loss(figures.right_repair * (1.0 - share), None, reason, "Repair every cause that was proved.")
        )
    since = (
        done if done is not None else (case.trace.conclusion.n if nothing and case.trace.conclusion else None)
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


def _half_right(case: Case) -> bool:
    """Whether one of two causes was named, or one too many beside the true one, and the right one is carried.

    The cause that was named rightly must be probable by the learner's own readings, alone or with others; so naming two
    where one is known wins nothing.
    """
    named, truth = set(str(case.named).split(AND)), set(case.cause.split(AND))
    shared = named & truth
    if len(shared) != 1 or NOTHING in shared or len(named) + len(truth) != 3:
        return False
    (part,) = shared
    analysis = case.analysis
    within = sum(analysis.probability(name) for name in analysis.names if part in name.split(AND))
    return within >= case.rubric.conclusion.certain


def _repaired(case: Case) -> tuple[int | None, float]:
    """Action that ended the repair of the true cause, or of one like it, and how much of it was done, 0 to 1."""
    when = {str(one.arguments["fault"]): one.n for one in reversed(case.trace.repairs)}
    best: tuple[int | None, float] = (None, 0.0)
    for name in case.alike:
        parts = name.split(AND)
        done = [when[part] for part in parts if part in when]
        share = len(done) / len(parts)
        if share > best[1]:
            best = (max(done), share)
    return best


def _reran(case: Case, since: int | None) -> bool:
    """Whether the unit ran for a minute after that action and was then observed."""
    if since is None:
        return False
    after = (line for line in case.trace.lines if line.n > since)
    return any(seconds >= _RERUN_S and line.verb in _PROVING for line, seconds in asked_to_cool(after))


def _next_reading(case: Case) -> str:
    legs = case.best.legs
    if not legs:
        return "Take one more reading that only this cause explains."
    return f"Take one more reading that only this cause explains, such as the best path's last: {check_words(legs[-1].check)}."
