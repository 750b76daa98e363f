"""Score an attempt by doing it again; nothing that its file says of results is trusted."""

from __future__ import annotations

from pathlib import Path

from parked_hvac.assessment.case import open_case, retraced
from parked_hvac.assessment.score import Score, score
from parked_hvac.job.errors import AttemptError
from parked_hvac.job.log import read_log
from parked_hvac.job.order import order_named
from parked_hvac.job.replay import replay
from parked_hvac.job.seal import unseal


def grade(path: Path | str, class_key: bytes | str | None = None) -> Score:
    """Score of an attempt file. With a class key its ticket must be of that class.

    Raises AttemptError, naming the line, for a file that is damaged, edited, another's or without a conclusion:
    what cannot be judged gets a sentence and no score.
    """
    attempt = replay(path, class_key)
    if attempt.concluded is None:
        raise AttemptError(f"{path} names no cause yet: conclude on the job card, then have it scored.")
    log = read_log(path)
    ticket = unseal(log.header.ticket)
    trace = retraced(ticket, [(line.action, line.arguments) for line in log.lines])
    return score(open_case(order_named(ticket.order), ticket, trace))
