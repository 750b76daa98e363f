"""Made-up learners at lesson 04: one works well, one takes a wrong turn, the others must not count."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import msgspec

from parked_hvac.assessment.card import card_named
from parked_hvac.job.attempt import Attempt, start
from parked_hvac.job.lines import Header, Line, encoded, hashed_header, hashed_line
from parked_hvac.job.log import read_log
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import draw_ticket

LESSON = "lesson-04-power-on-its-way"
JOB, CARD = "night-call", "colleagues-card"
CAUSE = "fuse_f13_blown"
"""What A17's truck hides in this class."""


IN, OUT, NOTHING = "in_spec", "out_of_spec", "tells_nothing"
RIGHT_VERDICTS = {
    "holder_f1_corroded": [IN, IN, OUT, IN, IN, IN],
    "k1_contact_burnt": [IN, NOTHING, NOTHING, NOTHING, IN, IN],
    "isolator_stuck_open": [OUT, IN, IN, IN, OUT, OUT],
    "alternator_no_output": [IN, IN, IN, IN, OUT, IN],
    "nothing_wrong": [IN, IN, IN, IN, IN, IN],
}
"""What a person says of the card's readings with the printed spec sheet in hand: bank at rest, bank under load, feed
drop, ground drop, charging, difference of the banks. With K1 burnt the compressor stands still, so that the three
lines about load hold for nothing."""


def right_verdicts(learner: str, class_key: str) -> list[str]:
    """The verdicts this learner's card deserves."""
    return RIGHT_VERDICTS[draw_ticket(order_named(CARD), learner, class_key).faults[0]]


def key_with(learner: str, order: str, cause: str) -> str:
    """A class key by which this learner gets this cause: the first of 00…00, 00…01, … that does."""
    number = 0
    while draw_ticket(order_named(order), learner, f"{number:064x}").faults != (cause,):
        number += 1
    return f"{number:064x}"


def open_job(lesson: Path, learner: str) -> Attempt:
    return start(JOB, learner, lesson / f"{JOB}.jsonl")


def do(attempt: Attempt, *steps: tuple[str, dict[str, Any]]) -> None:
    for verb, arguments in steps:
        attempt.do(verb, **arguments)


def measured(attempt: Attempt, red: str, black: str, verdict: str, function: str = "dc_volts") -> None:
    """Measure and give the reading its verdict."""
    judged(attempt, verdict, "measure", function=function, red=red, black=black)


def judged(attempt: Attempt, verdict: str, verb: str, **arguments: Any) -> None:
    """Take a reading and give it its verdict."""
    reading = attempt.do(verb, **arguments)
    attempt.do("judge", reading=reading.id, verdict=verdict)  # type: ignore[union-attr]


def begin(attempt: Attempt) -> None:
    """Prepare, operate and look before anything is opened; prove the meter."""
    do(
        attempt,
        *(("prepare", {"step": step}) for step in ("chock_wheels", "eye_protection", "rings_off")),
        ("switch_key", {"position": "on"}),
        ("set_temperature", {"celsius": 16.0}),
        ("set_blower", {"step": 3}),
        ("switch_parked_cooling", {"on": True}),
        ("wait", {"seconds": 60.0}),
    )
    judged(attempt, "in_spec", "look", location="cab")
    judged(attempt, "out_of_spec", "listen", location="unit_outside")
    judged(attempt, "out_of_spec", "read_codes")
    attempt.do("prove_meter")


def work_well(lesson: Path, learner: str) -> None:
    """Follow the power to the blown fuse F13 and no further than needed; prove the repair."""
    attempt = open_job(lesson, learner)
    begin(attempt)
    do(attempt, ("open_cover", {"cover": "unit_lid"}))
    measured(attempt, "F13.2", "X22", "out_of_spec")
    measured(attempt, "F13.1", "F13.2", "out_of_spec")
    finish(attempt, CAUSE)


def work_with_a_wrong_turn(lesson: Path, learner: str) -> None:
    """Change a relay on a guess before any reading, then find the cause that the readings show, or not."""
    attempt = open_job(lesson, learner)
    do(attempt, ("switch_key", {"position": "on"}), ("open_cover", {"cover": "unit_lid"}))
    do(attempt, ("conclude", {"cause": "k1_contact_burnt"}), ("repair", {"fault": "k1_contact_burnt"}))
    begin(attempt)
    measured(attempt, "F13.2", "X22", "out_of_spec")
    finish(attempt, CAUSE)


def finish(attempt: Attempt, cause: str) -> None:
    do(
        attempt,
        ("conclude", {"cause": cause}),
        ("switch_parked_cooling", {"on": False}),
        ("switch_key", {"position": "off"}),
        ("repair", {"fault": cause}),
        ("close_cover", {"cover": "unit_lid"}),
        ("switch_key", {"position": "on"}),
        ("switch_parked_cooling", {"on": True}),
        ("wait", {"seconds": 180.0}),
        ("thermometer", {"point": "vent air"}),
        (
            "write_up",
            {
                "complaint": "No cold in parked mode, blower does not run, panel dark.",
                "cause": "Fuse F13 open: 12.7 V at F13.1 and 0 V at F13.2 to X22, unit asked to cool.",
                "correction": "Fuse F13 replaced; runs, cold air after three minutes.",
            },
        ),
    )


def judge_card(lesson: Path, learner: str, verdicts: list[str]) -> None:
    """The colleague's card as left, with these verdicts on its readings."""
    attempt = start(CARD, learner, lesson / f"{CARD}.jsonl")
    do(attempt, *((step.verb, step.arguments) for step in card_named(CARD).steps))
    for reading, verdict in zip(list(attempt.readings), verdicts, strict=True):
        attempt.do("judge", reading=reading.id, verdict=verdict)


def forge(path: Path, old: str, new: str) -> None:
    """Change what the lines say and write every hash anew, as a forger would who read the course's source."""
    log = read_log(path)
    header: Header = hashed_header(log.header)
    rows, previous = [encoded(header)], header.hash
    for line in log.lines:
        text = msgspec.json.encode(line).decode().replace(old, new)
        changed = msgspec.json.decode(text, type=Line)
        changed = hashed_line(msgspec.structs.replace(changed, previous=previous))
        rows.append(encoded(changed))
        previous = changed.hash
    path.write_bytes(b"\n".join(rows) + b"\n")


def edit_notebook(lesson: Path, change: Any) -> None:
    """Let ``change`` alter the list of cells of the learner's notebook."""
    path = lesson / f"{LESSON}.ipynb"
    notebook = json.loads(path.read_text("utf-8"))
    change(notebook["cells"])
    path.write_text(json.dumps(notebook), "utf-8")


def code(text: str) -> dict[str, Any]:
    """A cell that a learner adds."""
    cell: dict[str, Any] = {"cell_type": "code", "id": "mine", "metadata": {}, "source": text}
    return {**cell, "outputs": [], "execution_count": None}
