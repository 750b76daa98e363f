"""The meter: it shows what it would show now, and costs a minute only when the reading is written down."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from parked_hvac.bench.frontend import Panel, script, style
from parked_hvac.bench.words import FUNCTIONS, minutes
from parked_hvac.job.labour import labour
from parked_hvac.rig.catalogue import catalogue

if TYPE_CHECKING:
    from parked_hvac.bench.screen import Screen
    from parked_hvac.job.attempt import Attempt

NO_LEADS = "– – –"
HOLDS = (
    ("none", "now", "The value of this moment, no hold"),
    ("min", "hold min", "Hold the lowest value"),
    ("max", "hold max", "Hold the highest value"),
)


class Meter(Panel):
    """Display, functions, hold and leads."""

    _esm = script("meter")
    _css = style("meter")


def fixed() -> dict[str, Any]:
    """Functions, holds, and the terminals that can be typed."""
    return {
        "functions": [list(one) for one in FUNCTIONS],
        "holds": [list(one) for one in HOLDS],
        "terminals": [[name, terminal.label] for name, terminal in catalogue().terminals.items()],
    }


def view(attempt: Attempt, screen: Screen) -> dict[str, Any]:
    """What the meter shows now."""
    cost = labour().verbs
    spoken = {name: words for name, _, words in FUNCTIONS}[screen.function]
    shown = live_display(attempt)
    ready = attempt.leads is not None
    held = attempt.held
    note = f"{spoken} · {'now' if held is None else held + ' held'}"
    return {
        "function": screen.function,
        "hold": held or "none",
        "leads": dict(screen.leads),
        "next": screen.next_lead,
        "display": shown,
        "note": note,
        "spoken": f"{note}: {shown}" if ready else "Place both leads to see a value",
        "ready": ready,
        "write": f"Write it on the card ({minutes(cost['measure'])})",
        "tools": [
            [
                f"touch leads ({minutes(cost['touch_leads'])})",
                "touch_leads",
                "Hold the leads together on ohms",
            ],
            [
                f"prove ({minutes(cost['prove_meter'])})",
                "prove_meter",
                "Prove the meter on the known source of the tool box",
            ],
            [
                f"swap ({minutes(cost['change_meter'])})",
                "change_meter",
                "Lay this meter aside and take the other one",
            ],
        ],
    }


def live_display(attempt: Attempt) -> str:
    """What stands in the display, a held extreme included."""
    outcome = attempt.meter_shows()
    return NO_LEADS if outcome is None else outcome.shown()
