"""Scores graded exercises in a process of its own: a request on standard input, a reply on standard output.

Run as ``python -I -m parked_hvac.assessment.apart``. It reads the files of a folder that someone handed
in, runs none of them, and fails closed: whatever is odd is a reply without points and with a reason.
"""

from __future__ import annotations

import contextlib
import json
import sys
import warnings
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from itertools import chain
from pathlib import Path
from typing import Any

from parked_hvac.assessment.card import begun_as, card_named
from parked_hvac.assessment.card_verdicts import Judged, judge_verdicts
from parked_hvac.assessment.cell import as_points
from parked_hvac.assessment.choice import meant
from parked_hvac.assessment.debrief import debrief
from parked_hvac.assessment.grading import grade
from parked_hvac.assessment.profile import of_card, of_job
from parked_hvac.assessment.rubric import WHOLE
from parked_hvac.assessment.verdicts import WORDS
from parked_hvac.diagnosis.walk import share_predictions
from parked_hvac.job.errors import AttemptError, OrderError
from parked_hvac.job.log import Log, read_log
from parked_hvac.job.order import order_named
from parked_hvac.job.replay import replay
from parked_hvac.job.seal import holder, unseal, verify_ticket

_NO_CHOICE = "no orders were chosen yet: give the six readings of the card their verdicts first."


class Refused(ValueError):
    """The work is there but cannot be scored; the sentence says why and what to do next."""


@dataclass(frozen=True)
class Submission:
    """The folder of one lesson, and what is known of whose it is."""

    folder: Path
    learner: str | None = None
    class_key: str | None = None
    """Without one, the ticket in the attempt is believed: good enough for the learner's own eyes."""
    debrief: bool = False


def evaluate(scorer: str, arguments: dict[str, Any], submission: Submission) -> dict[str, Any]:
    """Reply {state, points, reason, …} to one exercise; raises nothing.

    state is 'scored', 'absent' (nothing there: 0 points), 'to mark' (text for a person) or 'refused'.
    """
    try:
        return _SCORERS[scorer](arguments, submission)
    except (Refused, AttemptError, OrderError) as refusal:
        return _reply("refused", None, str(refusal).replace(f"{submission.folder}/", ""))
    except Exception as error:
        # Fail closed: a judge that stumbles over an attempt must neither score it nor stop the class.
        return _reply("refused", None, f"the judge stumbled ({type(error).__name__}: {error})."[:500])


def _job(arguments: dict[str, Any], submission: Submission) -> dict[str, Any]:
    """Points of a whole job, in proportion to the judge's hundred."""
    order = meant(submission.folder, str(arguments["order"]))
    if order is None:
        return _reply("absent", 0.0, _NO_CHOICE)
    log = _log(f"{order}.jsonl", order, submission)
    if log is None:
        return _absent(f"{order}.jsonl")
    if not any(line.action == "conclude" for line in log.lines):
        return _reply("absent", 0.0, f"{order}.jsonl names no cause yet: conclude on the job card.")
    score = grade(submission.folder / f"{order}.jsonl", submission.class_key)
    maximum = float(arguments["maximum"])
    report = score.report() | {"evidence": [one.plain() for one in of_job(score)]}
    if submission.debrief:
        # Words about a mark that stands: where they fail, the page still has parts and losses.
        with contextlib.suppress(Exception):
            report["debrief"] = asdict(debrief(score))
    return _reply("scored", as_points(score.total / WHOLE * maximum, maximum), "", report=report)


def _card(arguments: dict[str, Any], submission: Submission) -> dict[str, Any]:
    """Points for the verdicts on a colleague's card, whose steps must be the colleague's."""
    name, maximum = str(arguments["card"]), float(arguments["maximum"])
    log = _log(f"{name}.jsonl", name, submission)
    if log is None:
        return _absent(f"{name}.jsonl")
    if not any(line.action == "judge" for line in log.lines):
        return _reply("absent", 0.0, f"no reading in {name}.jsonl has a verdict yet.")
    card = card_named(name)
    attempt = replay(submission.folder / f"{name}.jsonl", submission.class_key)
    if len(attempt.entries) < len(card.steps) or not begun_as(attempt, card):
        raise Refused(f"{name}.jsonl does not begin with the colleague's steps: run the card's cell again.")
    judged = judge_verdicts(unseal(read_log(attempt.path).header.ticket), card, attempt.verdicts)
    points = as_points(maximum * sum(one.earned for one in judged) / len(judged), maximum)
    report = _card_report(judged, maximum) | {"evidence": [one.plain() for one in of_card(name, judged)]}
    return _reply("scored", points, "", report=report)


def _card_report(judged: tuple[Judged, ...], maximum: float) -> dict[str, Any]:
    """What the pages tell of a card, in the form of a job's report."""
    each = maximum / len(judged)
    losses = [
        {
            "part": "Verdicts",
            "points": round(each, 2),
            "line": one.line,
            "reason": f"{one.label}: {one.display}, judged: {WORDS[one.said] if one.said else 'not yet'}",
            "better": f"{WORDS[one.right]}; {one.why}",
        }
        for one in judged
        if not one.earned
    ]
    points = round(each * sum(one.earned for one in judged), 2)
    return {"parts": [{"title": "Verdicts", "points": points, "maximum": maximum}], "losses": losses}


def _write_up(arguments: dict[str, Any], submission: Submission) -> dict[str, Any]:
    """The text that a person marks: the last write-up in the attempt."""
    order = meant(submission.folder, str(arguments["order"]))
    if order is None:
        return _reply("absent", 0.0, _NO_CHOICE)
    log = _log(f"{order}.jsonl", order, submission)
    if log is None:
        return _absent(f"{order}.jsonl")
    texts = [line.arguments for line in log.lines if line.action == "write_up"]
    if not texts:
        return _reply("absent", 0.0, "the job card holds no write-up yet.")
    return _reply("to mark", None, "", text={name: str(value) for name, value in texts[-1].items()})


def _log(name: str, order: str, submission: Submission) -> Log | None:
    """The attempt file of that name, None where there is none. Refused where it is not the learner's."""
    path = submission.folder / name
    if path.is_symlink():
        raise Refused(f"{path.name} is a link: hand in the attempt file itself.")
    if not path.exists() or path.stat().st_size == 0:
        return None
    log = read_log(path)
    if log.header.order != order:
        raise Refused(f"{path.name} holds an attempt at {log.header.order!r}: hand in the one at {order!r}.")
    learner = submission.learner or holder(submission.folder)
    if learner is not None and log.header.learner != learner:
        raise Refused(f"{path.name} is the attempt of {log.header.learner!r}, not of {learner!r}: ask both.")
    if submission.class_key is not None:
        verify_ticket(log.header.ticket, order_named(order), log.header.learner, submission.class_key)
    return log


def _absent(name: object) -> dict[str, Any]:
    return _reply("absent", 0.0, f"there is no attempt in {name} yet.")


def _reply(state: str, points: float | None, reason: str, **more: Any) -> dict[str, Any]:
    return {"state": state, "points": points, "reason": reason, **more}


_SCORERS = {
    "job_points": _job,
    "card_points": _card,
    "show_write_up": _write_up,
}


def answer(request: dict[str, Any]) -> dict[str, Any]:
    """The replies to a request {exercises: [{scorer, arguments}], folder, learner?, class_key?, debrief?}."""
    submission = Submission(
        Path(request["folder"]),
        request.get("learner"),
        request.get("class_key"),
        bool(request.get("debrief", False)),
    )
    return {
        "replies": [evaluate(item["scorer"], item["arguments"], submission) for item in request["exercises"]]
    }


def answers(
    requests: list[dict[str, Any]], share: tuple[int, int] = (0, 1), common: Path | None = None
) -> Iterator[dict[str, Any]]:
    """What is told of many requests: {place} as one is begun, then {place, replies}.

    Trucks with one cause are judged in a row, and attempts that begin alike. share: of several processes that are asked
    the same, which one this is (from 0) and how many there are; each answers its own part, and then what is left of the
    others', from the end. Every second one goes backwards, so that neighbours are not at the same ways at once. common: a
    folder of theirs in which each marks what it begins, so that no other does.
    """
    row = sorted(range(len(requests)), key=lambda place: (_beginning(requests[place]), place))
    which, of = share
    parts = [row[len(row) * one // of : len(row) * (one + 1) // of] for one in range(of)]
    parts = [part[::-1] if one % 2 else part for one, part in enumerate(parts)]
    others = [] if common is None else [parts[(which + one) % of][::-1] for one in range(1, of)]
    for place in chain(parts[which], *others):
        if common is None or _claimed(common / str(place)):
            yield {"place": place}
            yield {"place": place, **answer(requests[place])}


def _claimed(mark: Path) -> bool:
    """Whether nobody had marked it before."""
    try:
        mark.touch(exist_ok=False)
    except FileExistsError:
        return False
    return True


def _beginning(request: dict[str, Any]) -> str:
    """Order, cause and actions of the first job asked for, as text that sorts like beginnings together; '' where there is none.

    Trucks with one cause share most of their best path.
    """
    with contextlib.suppress(Exception):
        orders = [item["arguments"]["order"] for item in request["exercises"] if "order" in item["arguments"]]
        log = read_log(Path(request["folder"]) / f"{orders[0]}.jsonl")
        cause = unseal(log.header.ticket).faults
        return json.dumps([orders[0], cause, *([line.action, dict(line.arguments)] for line in log.lines)])
    return ""


def main() -> None:
    """Answer one request; or {many: [request, ...], share, common} line by line, see ``answers``."""
    # The reply alone may reach standard output.
    out = sys.stdout
    with contextlib.redirect_stdout(sys.stderr), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        request = json.load(sys.stdin)
        if "many" not in request:
            out.write(json.dumps(answer(request), allow_nan=False))
            return
        common = Path(request["common"])
        share_predictions(common)
        for line in answers(request["many"], tuple(request["share"]), common):
            out.write(json.dumps(line, allow_nan=False) + "\n")
            out.flush()


if __name__ == "__main__":
    main()
