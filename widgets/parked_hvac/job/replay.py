"""Replay an attempt file and say whether it holds."""

from __future__ import annotations

from pathlib import Path

from parked_hvac.job.attempt import Attempt, Witness, replayed
from parked_hvac.job.digest import data_digest
from parked_hvac.job.errors import AttemptError
from parked_hvac.job.log import read_log
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import verify_ticket


def replay(path: Path | str, class_key: bytes | str | None = None, witness: Witness | None = None) -> Attempt:
    """The attempt of a file, rebuilt from its actions; the file stays as it is, a torn last line is left out.

    With a class key the ticket must be the one that this key gives this learner for this order. Raises
    AttemptError, naming the line, where the file is damaged or where its lines differ from the replay.
    """
    log = read_log(path)
    if class_key is not None:
        verify_ticket(log.header.ticket, order_named(log.header.order), log.header.learner, class_key)
    try:
        return replayed(log, witness)
    except AttemptError as error:
        if log.header.data_digest != data_digest():
            raise AttemptError(
                f"{error} (It was made with other course data than this machine has.)"
            ) from None
        raise
