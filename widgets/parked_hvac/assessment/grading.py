"""Score an attempt by doing it again; nothing that its file says of results is trusted."""

from __future__ import annotations

from pathlib import Path

from parked_hvac.assessment.case import open_case
from parked_hvac.assessment.retrace import Retracing
from parked_hvac.assessment.score import Score, score
from parked_hvac.job.errors import AttemptError
from parked_hvac.job.log import read_log
from parked_hvac.job.replay import replay
from parked_hvac.job.seal import unseal


def grade(path: Path | str, class_key: bytes | str | None = None) -> Score:
    """Score of an attempt file. With a class key its ticket must be of that class.

    Raises AttemptError, naming the line, for a file that is damaged, edited, another's or without a conclusion:
    what cannot be judged gets a sentence and no score.
    """
    retracing = Retracing()
    attempt = replay(path, class_key, retracing)
    if attempt.concluded is None:
        raise AttemptError(f"{path} names no cause yet: conclude on the job card, then have it scored.")
    ticket = unseal(read_log(path).header.ticket)
    return score(open_case(attempt.order, ticket, retracing.done(attempt.order)))
