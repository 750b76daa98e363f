"""What the judge holds to be right on a colleague's card, for tests that put a person's verdicts beside it."""

from __future__ import annotations

from parked_hvac.assessment.card import card_named
from parked_hvac.assessment.card_verdicts import judge_verdicts
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import Ticket

LETTERS = {"in_spec": "i", "out_of_spec": "o", "tells_nothing": "n"}


def causes(card: str) -> set[str]:
    """The causes that may hide in a card, each alone."""
    return {cause for (cause,) in order_named(card).causes}


def deserved(card: str, cause: str, seed: int) -> str:
    """The right verdicts reading by reading: in (i), out (o) or nothing (n)."""
    judged = judge_verdicts(Ticket(card, "A17", (cause,), seed), card_named(card), {})
    return "".join(LETTERS[one.right] for one in judged)
