"""Which two orders the refresher gives a learner, chosen once from the profile and kept beside the notebook."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

import msgspec

from parked_hvac.assessment.profile import Level
from parked_hvac.job.errors import NOT_DECODABLE, AttemptError
from parked_hvac.job.order import NOTHING_WRONG, Order, orders
from parked_hvac.job.skills import skills

REFRESHER = "refresher"
PLACEMENT = "placement-check"
"""The card from which the choice begins."""
CHOICE_NAME = "refresher.json"
PLACES = ("first-order", "second-order")
"""What graded cells call the orders that are chosen only later."""
_VERSION = 1
_ALWAYS = frozenset({"safe_work", "meter_proving", "write_up"})
"""Skills that every order asks for, so that they choose none."""


class Choice(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Two orders and why, in the order of taking them."""

    version: int
    learner: str
    orders: tuple[str, str]
    reasons: tuple[str, str]


def pool() -> tuple[Order, ...]:
    """The orders that the refresher chooses from, by id."""
    return tuple(
        order for _, order in sorted(orders().items()) if order.lesson == REFRESHER and order.id != PLACEMENT
    )


def about(order: Order) -> tuple[str, ...]:
    """The skills that an order can be chosen for; confirming the complaint only where nothing else is wrong."""
    sound = all(group == (NOTHING_WRONG,) for group in order.causes)
    return tuple(
        name for name in order.skills if name not in _ALWAYS and (sound or name != "confirm_complaint")
    )


def choose(learner: str, levels: Mapping[str, Level]) -> Choice:
    """The two orders whose skills are most in doubt.

    First the order with the greatest mean doubt of its skills; then the one with the greatest mean doubt of those skills
    that the first is not about. Of equals the harder one, then the first by name: the same profile gives the same choice.
    """
    first = max(pool(), key=lambda order: (_doubt(levels, about(order)), order.difficulty))
    covered = set(about(first))
    rest = [order for order in pool() if set(about(order)) - covered]
    second = max(
        rest,
        key=lambda order: (
            _doubt(levels, tuple(s for s in about(order) if s not in covered)),
            order.difficulty,
        ),
    )
    return Choice(
        _VERSION, learner, (first.id, second.id), (_why(first, set(), levels), _why(second, covered, levels))
    )


def keep(folder: Path, choice: Choice) -> Choice:
    """Keep a choice in a folder unless one is there, and give the one that counts. Raises OSError, AttemptError."""
    path = folder / CHOICE_NAME
    try:
        # Created only where nothing is: a choice once made is never written over.
        with path.open("xb") as file:
            file.write(msgspec.json.format(msgspec.json.encode(choice), indent=1) + b"\n")
            file.flush()
            os.fsync(file.fileno())
    except FileExistsError:
        pass
    found = kept(folder)
    assert found is not None
    return found


def kept(folder: Path) -> Choice | None:
    """The choice of a folder, None where none was made. AttemptError says what is wrong with the file."""
    path = folder / CHOICE_NAME
    remedy = "move it away, and choose again from your placement check."
    if path.is_symlink() or not path.is_file():
        return None
    try:
        found = msgspec.json.decode(path.read_bytes()[:65536], type=Choice)
    except NOT_DECODABLE as error:
        raise AttemptError(f"{CHOICE_NAME} is no choice of orders ({error}): {remedy}") from None
    known = {order.id for order in pool()}
    if found.version != _VERSION or len(set(found.orders)) != 2 or not known.issuperset(found.orders):
        raise AttemptError(f"{CHOICE_NAME} names no two different orders of the refresher: {remedy}")
    return found


def meant(folder: Path, order: str) -> str | None:
    """The order that 'first-order' or 'second-order' stands for in a folder, None before the choice; any other name is itself."""
    if order not in PLACES:
        return order
    choice = kept(folder)
    return None if choice is None else choice.orders[PLACES.index(order)]


def _doubt(levels: Mapping[str, Level], names: tuple[str, ...]) -> float:
    return sum(levels[name].doubt for name in names) / len(names)


def _why(order: Order, covered: set[str], levels: Mapping[str, Level]) -> str:
    names = sorted((name for name in about(order) if name not in covered), key=lambda n: -levels[n].doubt)
    return "; ".join(f"{skills()[name].title}: {levels[name].words}" for name in names) + "."
