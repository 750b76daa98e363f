"""Answers to graded items, kept in a file beside the notebook: appended, never overwritten."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import msgspec

Given = str | float | int

DEFAULT_NAME = "answers.jsonl"


class AnswersError(ValueError):
    """An answer file that cannot be used as it is; the sentence says which line and what to do."""


class Answer(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One answer to one item; a later one to the same item counts instead."""

    item: str
    answer: Given
    at: str
    """Time in UTC, ISO 8601."""


def append_answer(path: Path, item: str, answer: Given) -> Answer:
    """Add an answer at the end of the file and wait until it is on the disk. Raises OSError."""
    made = Answer(item, answer, datetime.now(UTC).isoformat(timespec="seconds"))
    with path.open("ab") as file:
        if _lacks_line_end(path):
            file.write(b"\n")
        file.write(msgspec.json.encode(made) + b"\n")
        file.flush()
        os.fsync(file.fileno())
    return made


def read_answers(path: Path) -> dict[str, Answer]:
    """The last answer to each item; empty where there is no file yet.

    A last line that was cut off in mid-write is left out. Raises AnswersError for any other damage.
    """
    if not path.is_file():
        return {}
    rows = path.read_bytes().split(b"\n")
    found: dict[str, Answer] = {}
    for number, row in enumerate(rows, 1):
        if not row.strip():
            continue
        try:
            answer = msgspec.json.decode(row, type=Answer)
        except (msgspec.DecodeError, UnicodeDecodeError) as error:
            if number == len(rows):
                break
            raise AnswersError(
                f"{path.name}, line {number} is no answer ({error}): restore the file from your own "
                "copy, or give your answers again after moving it away."
            ) from None
        found[answer.item] = answer
    return found


def _lacks_line_end(path: Path) -> bool:
    """Whether the last line was cut off in mid-write; the next answer must not run into it."""
    data = path.read_bytes()
    return bool(data) and not data.endswith(b"\n")
