"""A list of actions in a file, to be played without a screen."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import msgspec

from parked_hvac.job.actions import Value, checked
from parked_hvac.job.errors import NOT_DECODABLE, Refused
from parked_hvac.job.lines import LONGEST_FILE_BYTES, LONGEST_LINE_BYTES, MOST_LINES


@dataclass(frozen=True)
class Step:
    """One action of a script, from line ``number`` (counted from 1)."""

    number: int
    action: str
    arguments: dict[str, Value]


class _Row(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    action: str
    arguments: dict[str, str | bool | int | float | None] = {}


def read_script(path: Path) -> list[Step]:
    """The actions of a JSON-lines file ('-' reads standard input), each checked; empty lines are left out.

    Raises Refused with file and line for anything that is no action.
    """
    data = _bytes_of(path)
    rows = data.split(b"\n")
    if len(data) > LONGEST_FILE_BYTES or len(rows) > MOST_LINES:
        raise Refused(f"{path} is longer than an attempt can be: split it up.")
    steps = []
    for number, row in enumerate(rows, 1):
        if not row.strip():
            continue
        if len(row) > LONGEST_LINE_BYTES:
            raise Refused(f"{path}, line {number} has {len(row)} bytes: shorten its texts.")
        try:
            given = msgspec.json.decode(row, type=_Row)
            steps.append(Step(number, given.action, checked(given.action, given.arguments)))
        except NOT_DECODABLE as error:
            raise Refused(
                f'{path}, line {number} is no action ({error}): give {{"action": …, "arguments": {{…}}}}.'
            ) from None
        except Refused as refusal:
            raise Refused(f"{path}, line {number}: {refusal}") from None
    return steps


def _bytes_of(path: Path) -> bytes:
    if str(path) == "-":
        return sys.stdin.buffer.read(LONGEST_FILE_BYTES + 1)
    try:
        with path.open("rb") as file:
            return file.read(LONGEST_FILE_BYTES + 1)
    except OSError as error:
        raise Refused(f"The actions {path} cannot be read ({error.strerror}): check the path.") from None
