"""A job card that a colleague left: readings taken on the learner's own variant, verdicts to be given."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

import msgspec

from parked_hvac.job.attempt import Attempt, resume, start
from parked_hvac.job.errors import AttemptError, OrderError, Refused
from parked_hvac.job.seal import SELF_STUDY, holder
from parked_hvac.places import data_dir
from parked_hvac.tables import DataError, nearest, read_table


class Step(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One action of the colleague's."""

    verb: str
    arguments: dict[str, str | bool | int | float] = {}


class Card(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What data/cards says: the steps taken before the card was left. Its work order has the same name."""

    steps: tuple[Step, ...]


def card_named(name: str) -> Card:
    """The card of that name. Raises DataError naming the nearest for an unknown one."""
    known = sorted(path.stem for path in (data_dir() / "cards").glob("*.toml"))
    if name not in known:
        raise DataError(f"No job card is called {name!r}; {nearest(name, known)}")
    return read_table(data_dir() / "cards" / f"{name}.toml", Card)


def is_card(order: str) -> bool:
    """Whether a work order is a card that a colleague left."""
    return (data_dir() / "cards" / f"{order}.toml").is_file()


def leave_card(name: str) -> str:
    """Put the colleague's card NAME.jsonl beside the notebook, unless it is there; gives the bench its name.

    While nbgrader runs the notebook nothing is begun. The bench says what is wrong with a card that is there.
    """
    if "NBGRADER_EXECUTION" not in os.environ:
        with contextlib.suppress(AttemptError, OrderError, Refused, OSError):
            _left(name, card_named(name))
    return name


def _left(name: str, card: Card) -> Attempt:
    file = Path(f"{name}.jsonl")
    begun = file.exists() and file.stat().st_size > 0
    attempt = resume(file) if begun else start(name, holder(Path()) or SELF_STUDY, file)
    # A kernel killed in the middle leaves steps to take; once all are there, the rest is the learner's.
    if begun_as(attempt, card):
        for step in card.steps[len(attempt.entries) :]:
            attempt.do(step.verb, **step.arguments)
    return attempt


def begun_as(attempt: Attempt, card: Card) -> bool:
    """Whether an attempt begins with the card's steps, as far as both go."""
    return all(
        (entry.action, entry.arguments) == (step.verb, step.arguments)
        for entry, step in zip(attempt.entries, card.steps, strict=False)
    )
