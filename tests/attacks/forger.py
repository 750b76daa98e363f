"""What a forger has at hand: an honest attempt of a class, and the means to write its lines and hashes anew."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from parked_hvac.assessment.apart import Submission, evaluate
from parked_hvac.job.attempt import Attempt, start
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import HAND_OUT_NAME, issue_hand_out, write_hand_out

ORDER, LEARNER, OTHER = "night-call", "A17", "B02"
KEY, OTHER_KEY = "5" * 64, "6" * 64
NAME = f"{ORDER}.jsonl"
MAXIMUM = 60.0

Row = dict[str, Any]


def begun(folder: Path, learner: str = LEARNER, key: str = KEY, order: str = ORDER) -> Attempt:
    """An attempt begun from the hand-out of a class."""
    folder.mkdir(parents=True, exist_ok=True)
    tickets = issue_hand_out("evening", learner, [order_named(order)], key)
    write_hand_out(tickets, folder / HAND_OUT_NAME)
    return start(order, learner, folder / f"{order}.jsonl")


def honest(folder: Path, learner: str = LEARNER, key: str = KEY) -> Path:
    """A short honest attempt: prepared, operated, three readings with verdicts, and a cause named."""
    attempt = begun(folder, learner, key)
    for verb, arguments in (
        ("prepare", {"step": "chock_wheels"}),
        ("prove_meter", {}),
        ("set_blower", {"step": 4}),
        ("switch_parked_cooling", {"on": True}),
        ("wait", {"seconds": 60.0}),
        ("feel", {"location": "bunk"}),
        ("read_codes", {}),
        ("judge", {"reading": "r3", "verdict": "in_spec"}),
        ("measure", {"function": "dc_volts", "red": "X11.1", "black": "X11.4"}),
        ("judge", {"reading": "r4", "verdict": "in_spec"}),
        ("conclude", {"cause": "k1_contact_burnt"}),
    ):
        attempt.do(verb, **arguments)
    return attempt.path


def rows_of(path: Path) -> list[Row]:
    """The file's lines as plain data, the header first."""
    return [json.loads(line) for line in path.read_bytes().splitlines()]


def write_anew(path: Path, rows: list[Row]) -> None:
    """Write the lines with every number, chain and hash as the course itself would write them."""
    previous, written = "", []
    for number, row in enumerate(rows):
        if number:
            row |= {"n": number, "previous": previous}
        body = _json({**row, "hash": ""})
        previous = hashlib.sha256((previous.encode() if number else b"") + body).hexdigest()
        written.append(_json({**row, "hash": previous}))
    path.write_bytes(b"\n".join(written) + b"\n")


def forge(path: Path, change: Callable[[list[Row]], list[Row] | None]) -> None:
    """Let ``change`` alter or replace the lines, then write all hashes anew."""
    rows = rows_of(path)
    write_anew(path, change(rows) or rows)


def marked(folder: Path, learner: str = LEARNER, key: str = KEY) -> dict[str, Any]:
    """What the clean process says of the folder as handed in to the class."""
    return evaluate("job_points", {"order": ORDER, "maximum": MAXIMUM}, Submission(folder, learner, key))


def assert_earns_nothing(reply: dict[str, Any], sentence: str) -> None:
    """No points, and the reason that the instructor reads has these words."""
    assert not reply["points"], reply
    assert sentence in reply["reason"], reply["reason"]
    assert "Error" not in reply["reason"], reply["reason"]


def _json(row: Row) -> bytes:
    return json.dumps(row, separators=(",", ":"), ensure_ascii=False).encode("utf-8", "surrogatepass")
