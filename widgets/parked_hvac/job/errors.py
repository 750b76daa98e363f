"""What can go wrong at a job, each with one sentence that says what to do next."""

from __future__ import annotations

import msgspec

NOT_DECODABLE = (msgspec.DecodeError, UnicodeDecodeError, RecursionError)
"""What decoding JSON from outside raises: wrong form or type, bytes that are no text, nested too deep."""


class Refused(ValueError):
    """An action that cannot be done now; nothing is recorded and no time passes."""


class AttemptError(ValueError):
    """An attempt file that cannot be used as it is."""


class OrderError(ValueError):
    """An unknown work order, or a learner id that cannot be used."""
