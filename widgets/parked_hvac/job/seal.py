"""Which fault hides in an attempt, and how it is kept out of sight.

The seal is a curtain, not a safe: whatever a learner's machine simulates, a programmer on that machine can
find. It keeps the cause from being read by eye in a file. What protects a mark is the grader, which derives
the ticket anew from the class key and gives points only for evidence that its own replay supports.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import re
from itertools import permutations
from pathlib import Path

import msgspec
from cryptography.fernet import Fernet, InvalidToken

from parked_hvac.job.errors import NOT_DECODABLE, AttemptError, OrderError
from parked_hvac.job.order import KINDS, Order, kind_of, orders

SELF_STUDY = "self-study"
"""Learner of an attempt outside any class."""

HAND_OUT_NAME = "hand-out.json"
HAND_OUT_FORMAT = "parked-hvac hand-out"
SELF_STUDY_KEY = b"parked-hvac self-study key, known to everyone who reads this line"
_CURTAIN = base64.urlsafe_b64encode(hashlib.sha256(b"parked-hvac curtain before tickets").digest())
_LEARNER = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}")


class Ticket(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What an attempt is about: whose, which order, which hidden causes, which truck of the line."""

    order: str
    learner: str
    faults: tuple[str, ...]
    seed: int


class HandOut(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The file that a class gives a learner: one sealed ticket per order. It holds no class key."""

    format: str
    version: int
    class_name: str
    learner: str
    tickets: dict[str, str]


def draw_ticket(order: Order, learner: str, class_key: bytes | str | None = None) -> Ticket:
    """The ticket of a learner for an order: HMAC-SHA-256 of order and learner under the class key.

    Without a class key it is drawn for self-study. Raises OrderError for a learner id that cannot be used.
    """
    check_learner(learner)
    key = SELF_STUDY_KEY if class_key is None else _as_bytes(class_key)
    digest = hmac.new(key, f"{order.id}|{learner}".encode(), hashlib.sha256).digest()
    causes = _dealt(order, learner, key) if order.deal else order.causes
    chosen = causes[int.from_bytes(digest[:8], "big") % len(causes)]
    # 63 bits, so that any JSON reader keeps the number whole as an integer.
    return Ticket(order.id, learner, chosen, int.from_bytes(digest[8:16], "big") >> 1)


def _dealt(order: Order, learner: str, key: bytes) -> tuple[tuple[str, ...], ...]:
    """The groups of the pool of the kind that this learner was dealt for this order."""
    hand = sorted(other.id for other in orders().values() if other.deal == order.deal)
    digest = hmac.new(key, f"deal {order.deal}|{learner}".encode(), hashlib.sha256).digest()
    turns = list(permutations(KINDS))
    kinds = turns[int.from_bytes(digest[:8], "big") % len(turns)]
    kind = kinds[hand.index(order.id) % len(KINDS)]
    return tuple(group for group in order.causes if kind_of(group) == kind)


def seal(ticket: Ticket) -> str:
    """The ticket so that it cannot be read by eye; two seals of one ticket differ."""
    return Fernet(_CURTAIN).encrypt(msgspec.json.encode(ticket)).decode("ascii")


def unseal(sealed: str) -> Ticket:
    """The ticket inside; AttemptError for one that is damaged or was not made by this course."""
    try:
        return msgspec.json.decode(Fernet(_CURTAIN).decrypt(sealed.encode("ascii")), type=Ticket)
    except (InvalidToken, UnicodeEncodeError, *NOT_DECODABLE):
        raise AttemptError(
            f"The ticket {sealed[:12]!r}… cannot be opened: ask for a new hand-out, or start a new attempt."
        ) from None


def verify_ticket(sealed: str, order: Order, learner: str, class_key: bytes | str | None) -> Ticket:
    """The ticket, if it is the one this class key gives this learner for this order; else AttemptError."""
    ticket = unseal(sealed)
    if ticket != draw_ticket(order, learner, class_key):
        raise AttemptError(
            f"The ticket in this attempt is not the one the class gave {learner} for {order.id!r}: "
            "grade it with the key of its own class, or have the learner start from the hand-out."
        )
    return ticket


def issue_hand_out(class_name: str, learner: str, orders: list[Order], class_key: bytes | str) -> HandOut:
    """The hand-out of one learner: a sealed ticket for each order."""
    tickets = {order.id: seal(draw_ticket(order, learner, class_key)) for order in orders}
    return HandOut(HAND_OUT_FORMAT, 1, class_name, learner, tickets)


def write_hand_out(hand_out: HandOut, path: Path) -> None:
    """Write a hand-out as JSON for people to look at."""
    path.write_bytes(msgspec.json.format(msgspec.json.encode(hand_out), indent=2) + b"\n")


def read_hand_out(path: Path) -> HandOut:
    """Read a hand-out; AttemptError says what is wrong with it."""
    try:
        hand_out = msgspec.json.decode(path.read_bytes(), type=HandOut)
    except OSError as error:
        raise AttemptError(
            f"The hand-out {path} cannot be read ({error.strerror}): copy it there again."
        ) from None
    except NOT_DECODABLE as error:
        raise AttemptError(f"{path} is no hand-out ({error}): ask your instructor for a new one.") from None
    if hand_out.format != HAND_OUT_FORMAT or hand_out.version != 1:
        raise AttemptError(
            f"{path} has format {hand_out.format!r} version {hand_out.version}: this course reads "
            f"{HAND_OUT_FORMAT!r} version 1; update the course or ask for a new hand-out."
        )
    return hand_out


def holder(folder: Path) -> str | None:
    """Whose folder it is, by the hand-out in it; None where there is none, as in self-study. Raises AttemptError."""
    hand_out = folder / HAND_OUT_NAME
    return read_hand_out(hand_out).learner if hand_out.is_file() else None


def check_learner(learner: str) -> None:
    """Raise OrderError for a learner id that could not stand in a file name."""
    if not isinstance(learner, str) or not _LEARNER.fullmatch(learner):
        raise OrderError(
            f"{str(learner)[:70]!r} is no learner id: use up to 64 letters, digits, dots, hyphens "
            "or underscores, such as 'A17'."
        )


def _as_bytes(key: bytes | str) -> bytes:
    found = key.encode() if isinstance(key, str) else key
    if len(found) < 8:
        raise AttemptError(
            f"A class key of {len(found)} bytes is too short: use the one the class folder holds."
        )
    return found
