"""The end of the job: name the cause, repair and prove, write up."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from parked_hvac.assessment import rules
from parked_hvac.bench.words import minutes
from parked_hvac.job.actions import AND
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.faults import faults, title_of

if TYPE_CHECKING:
    from parked_hvac.job.attempt import Attempt

FIELDS = (
    ("complaint", "Complaint", "What the driver noticed, and what you saw when you tried it yourself."),
    ("cause", "Cause", "What is wrong, where, and which readings prove it."),
    ("correction", "Correction", "What was done, and the reading that shows it worked."),
)


@cache
def causes() -> list[dict[str, str]]:
    """Every cause of the catalogue, families together, 'nothing wrong' last."""
    listed = [
        {"id": name, "title": fault.title, "family": fault.family, "component": fault.component}
        for name, fault in faults().items()
    ]
    return sorted(listed, key=lambda one: (one["id"] == "nothing_wrong", one["family"], one["title"]))


def cause_view(attempt: Attempt) -> dict[str, Any]:
    """Pick a cause from the catalogue."""
    named = attempt.concluded
    return {
        "kind": "causes",
        "title": "Name the cause",
        "question": "What do your readings prove? You can name another cause later, but the first naming counts. If one "
        "cause cannot explain them all, pick it and add a second one.",
        "verb": "conclude",
        "argument": "cause",
        "go": "Name it",
        "and": AND,
        "chosen": named,
        "note": None if named is None else f"On the card: {title_of(named)}.",
    }


def repair_view(attempt: Attempt) -> dict[str, Any]:
    """Pick a repair, with its minutes and cautions."""
    done = [faults()[name].title for name in attempt.repaired]
    named = [] if attempt.concluded is None else attempt.concluded.split(AND)
    # Of two causes the one that is still to be repaired comes up next.
    chosen = next((name for name in named if name not in attempt.repaired), named[-1] if named else None)
    note = ""
    if chosen is not None:
        fault = faults()[chosen]
        lids = " and ".join(catalogue().covers[name].label for name in fault.access)
        note = f"{fault.repair} ({minutes(fault.repair_minutes)}{f'; needs the {lids} off' if lids else ''})"
    return {
        "kind": "causes",
        "title": "Repair and prove",
        "question": "Choose the repair. Then prove it: bring the complaint about again, and take the reading "
        "that was wrong.",
        "caution": " ".join(rules.cautions_at("repair", {"fault": chosen})),
        "verb": "repair",
        "argument": "fault",
        "go": "Repair it",
        "chosen": chosen,
        "note": f"Repaired so far: {'; '.join(done)}." if done else note,
    }


def write_up_view(attempt: Attempt) -> dict[str, Any]:
    """Three lines for the office and the next technician."""
    written = attempt.write_up or {}
    return {
        "kind": "writing",
        "title": "Write up",
        "question": "Three short texts that the office and the next technician understand without you. "
        "A person marks them.",
        "fields": [list(one) for one in FIELDS],
        "texts": {name: written.get(name, "") for name, _, _ in FIELDS},
        "note": "It is on the card; you can write it again." if written else "",
    }
