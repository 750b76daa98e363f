"""The lines of an attempt file: a header, then one line per action, chained by SHA-256.

A line is JSON exactly as this module writes it. Its hash covers the hash of the line before and the line
itself without its hash, so a line that is changed, left out, moved or brought from elsewhere shows. The
chain is proof against slips, not against a forger who writes all hashes anew; the grader therefore replays
and believes no line.
"""

from __future__ import annotations

import hashlib
from typing import TypeVar

import msgspec

from parked_hvac.job.errors import NOT_DECODABLE, AttemptError

FORMAT = "parked-hvac attempt"
VERSION = 1
LONGEST_LINE_BYTES = 65_536
LONGEST_FILE_BYTES = 8 * 1024 * 1024
MOST_LINES = 5_000
T = TypeVar("T")
_REMEDY = "restore the file from your own copy, or start a new attempt"


class Header(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """First line of an attempt file."""

    format: str
    version: int
    order: str
    learner: str
    ticket: str
    data_digest: str
    created: str
    hash: str = ""


class Result(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a reading action showed, and the id of the reading."""

    display: str
    unit: str
    reading: str


class Line(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One action; ``minute`` is the clock when it began."""

    n: int
    minute: float
    action: str
    arguments: dict[str, str | bool | int | float]
    result: Result | None
    previous: str
    hash: str = ""


class _Versioned(msgspec.Struct, frozen=True):
    format: str
    version: int


def encoded(record: Header | Line) -> bytes:
    """The line as bytes without its newline."""
    return msgspec.json.encode(record)


def hashed_header(header: Header) -> Header:
    """The header with its hash."""
    return msgspec.structs.replace(
        header, hash=_digest("", encoded(msgspec.structs.replace(header, hash="")))
    )


def hashed_line(line: Line) -> Line:
    """The line with its hash."""
    return msgspec.structs.replace(
        line, hash=_digest(line.previous, encoded(msgspec.structs.replace(line, hash="")))
    )


def parse_header(raw: bytes, name: str) -> Header:
    """The header in the first line of a file; AttemptError with what to do."""
    try:
        versioned = msgspec.json.decode(raw, type=_Versioned)
    except NOT_DECODABLE:
        raise AttemptError(f"{name}, line 1 is no header of an attempt: {_REMEDY}.") from None
    if versioned.format != FORMAT:
        raise AttemptError(
            f"{name}, line 1 has format {versioned.format[:40]!r}: give an attempt file of this course."
        )
    if versioned.version > VERSION:
        raise AttemptError(
            f"{name} has version {versioned.version}, this course reads up to {VERSION}: update the course."
        )
    if versioned.version < VERSION:
        raise AttemptError(
            f"{name} has version {versioned.version}, older than this course reads ({VERSION}): "
            "start a new attempt."
        )
    header = _decoded(raw, Header, name, 1)
    if hashed_header(header) != header or encoded(header) != raw:
        raise AttemptError(f"{name}, line 1 was edited or damaged: {_REMEDY}.")
    return header


def parse_line(raw: bytes, name: str, number: int, n: int, previous: str) -> Line:
    """A line of a file (``number`` counts from 1), which must be action ``n`` after the hash ``previous``."""
    line = _decoded(raw, Line, name, number)
    if hashed_line(line) != line or encoded(line) != raw:
        raise AttemptError(f"{name}, line {number} was edited or damaged: {_REMEDY}.")
    if line.n != n or line.previous != previous:
        raise AttemptError(f"{name}, line {number} does not follow the line before it: {_REMEDY}.")
    return line


def _decoded(raw: bytes, kind: type[T], name: str, number: int) -> T:
    try:
        return msgspec.json.decode(raw, type=kind)
    except NOT_DECODABLE as error:
        raise AttemptError(f"{name}, line {number} is damaged ({error}): {_REMEDY}.") from None


def _digest(previous: str, body: bytes) -> str:
    return hashlib.sha256(previous.encode() + body).hexdigest()
