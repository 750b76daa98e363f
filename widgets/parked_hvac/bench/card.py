"""The job card: each reading with its verdict, and the way to the end of the job."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from parked_hvac.assessment.card import is_card
from parked_hvac.bench.frontend import Panel, script, style
from parked_hvac.bench.words import VERDICTS

if TYPE_CHECKING:
    from parked_hvac.bench.screen import Screen
    from parked_hvac.job.attempt import Attempt


class Card(Panel):
    """The job card."""

    _esm = script("card")
    _css = style("card")


def fixed(order: str) -> dict[str, Any]:
    """The verdicts there are, and whether a colleague left the card, so that judging its readings is the task."""
    return {"verdicts": [list(one) for one in VERDICTS], "left": is_card(order)}


def view(attempt: Attempt, _screen: Screen) -> dict[str, Any]:
    """What stands on the card now."""
    return {
        "readings": [
            {
                "id": reading.id,
                "number": index,
                "minute": f"{reading.minute:.0f}",
                "label": reading.label,
                "state": reading.state,
                "display": reading.display,
                "verdict": reading.verdict,
            }
            for index, reading in enumerate(attempt.readings, 1)
        ],
        "ways": ways(attempt),
        "saved": f"saved · line {len(attempt.entries) + 1}",
    }


def ways(attempt: Attempt) -> list[list[str | None]]:
    """Buttons below the card: words, panel, and why it cannot be opened yet."""
    first = None if attempt.concluded else "Name the cause first."
    done = None if attempt.concluded and attempt.write_up else "Name the cause and write up first."
    return [
        ["Name the cause …", "cause", None],
        ["Repair and prove …", "repair", first],
        ["Write up …", "write_up", first],
        ["Debrief", "debrief", done],
    ]
