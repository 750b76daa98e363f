"""Attempt files for tests: one that was really played, and others written line by line."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from parked_hvac.job.attempt import start
from parked_hvac.job.lines import FORMAT, VERSION, Header, Line, Result, encoded, hashed_header, hashed_line

STEPS = (
    ("prepare", {"step": "eye_protection"}),
    ("prove_meter", {}),
    ("open_cover", {"cover": "aux_bank_lid"}),
    ("measure", {"function": "dc_volts", "red": "G2+", "black": "G2-"}),
    ("judge", {"reading": "r2", "verdict": "in_spec"}),
    ("switch_parked_cooling", {"on": True}),
    ("set_blower", {"step": 3}),
    ("wait", {"seconds": 5.0}),
    ("feel", {"location": "bunk"}),
    ("note", {"text": "Ärger mit „Kälte“ — line 1\nline 2"}),
    ("conclude", {"cause": "nothing_wrong"}),
)


@cache
def played() -> bytes:
    """The bytes of an attempt at night-call by A17 with the steps above."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "attempt.jsonl"
        attempt = start("night-call", "A17", path)
        for verb, arguments in STEPS:
            attempt.do(verb, **arguments)
        return path.read_bytes()


def chained(rows: list[Header | Line]) -> bytes:
    """A file whose hash chain holds, whatever its rows say."""
    out: list[bytes] = []
    previous = ""
    for row in rows:
        if isinstance(row, Header):
            made: Header | Line = hashed_header(row)
        else:
            made = hashed_line(Line(row.n, row.minute, row.action, row.arguments, row.result, previous))
        previous = made.hash
        out.append(encoded(made))
    return b"".join(row + b"\n" for row in out)


__all__ = ["FORMAT", "STEPS", "VERSION", "Header", "Line", "Result", "chained", "played"]
