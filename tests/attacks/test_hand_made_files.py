"""Attacks with files made by hand to stop the judge or to fill its memory: each is refused, and quickly."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.attacks.forger import (
    NAME,
    Row,
    assert_earns_nothing,
    begun,
    forge,
    honest,
    marked,
    rows_of,
    write_anew,
)

DEEP = 200_000


def handed_in(folder: Path, content: bytes) -> Path:
    """A folder with the learner's hand-out and this in place of an attempt."""
    begun(folder).path.write_bytes(content)
    return folder


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"[" * DEEP + b"]" * DEEP, "more than"),
        (b"[" * 30_000 + b"]" * 30_000 + b"\n", "is no header"),
        (b'{"a":' * 10_000 + b"1" + b"}" * 10_000 + b"\n", "is no header"),
        (b"9" * 60_000 + b"\n", "is no header"),
        (b"\n" * 6_000, "lines, more than"),
        (b"\xff\xfe\x00\n" * 10, "is no header"),
        (b"\xef\xbb\xbf{}\n", "is no header"),
        (b"null\n", "is no header"),
        (b"\x00" * 4096, "no whole first line"),
        (b'{"format":"parked-hvac attempt","version":1e999}\n', "is no header"),
        (b'{"format":"parked-hvac attempt","version":99}\n', "version 99"),
    ],
    ids=[
        "deep",
        "deep line",
        "deep objects",
        "long number",
        "lines",
        "bytes",
        "mark",
        "null",
        "zeros",
        "inf",
        "version",
    ],
)
def test_made_by_hand(tmp_path: Path, content: bytes, sentence: str) -> None:
    assert_earns_nothing(marked(handed_in(tmp_path, content)), sentence)


def test_of_huge_size(tmp_path: Path) -> None:
    """A hole of ten gigabytes takes no room on the disk; the judge must not read it into memory."""
    attempt = begun(tmp_path).path
    os.truncate(attempt, 10 * 1024**3)
    assert_earns_nothing(marked(tmp_path), "more than an attempt can have")


def test_a_line_nested_deep(tmp_path: Path) -> None:
    attempt = honest(tmp_path)
    lines = attempt.read_bytes().splitlines(keepends=True)
    lines[3] = lines[3].replace(b'"arguments":{', b'"arguments":{"x":' + b"[" * 20_000 + b"]" * 20_000 + b",")
    attempt.write_bytes(b"".join(lines))
    assert_earns_nothing(marked(tmp_path), "line 4 is damaged")


def test_an_attempt_without_end(tmp_path: Path) -> None:
    """Thousands of waits would hold up the class; more lines than any job needs are refused unread."""
    attempt = honest(tmp_path)
    rows = rows_of(attempt)
    wait = next(row for row in rows[1:] if row["action"] == "wait")
    write_anew(attempt, [*rows[:2], *({**wait, "arguments": dict(wait["arguments"])} for _ in range(5_100))])
    assert_earns_nothing(marked(tmp_path), "lines, more than 5000")


def test_eight_hours_a_hundred_times(tmp_path: Path) -> None:
    """A clock that runs for years is no attempt at a work order."""

    def change(rows: list[Row]) -> list[Row]:
        wait = {"n": 0, "minute": 0.0, "action": "wait", "arguments": {"seconds": 28800.0}, "result": None}
        return [*rows[:2], *({**wait, "previous": "", "hash": ""} for _ in range(100)), *rows[2:]]

    forge(honest(tmp_path), change)
    assert_earns_nothing(marked(tmp_path), "where a replay gives")


def test_a_folder_or_pipe_in_place_of_the_file(tmp_path: Path) -> None:
    for number, make in enumerate((os.mkdir, os.mkfifo)):
        folder = tmp_path / str(number)
        begun(folder).path.unlink()
        make(folder / NAME)
        reply = marked(folder)
        assert not reply["points"]
        assert reply["reason"]
