"""The head of the bench: order, complaint, minutes on the job, papers to open."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from parked_hvac.bench.frontend import Panel, script, style

if TYPE_CHECKING:
    from parked_hvac.bench.screen import Screen
    from parked_hvac.job.attempt import Attempt
    from parked_hvac.job.order import Order

PAPERS = (
    ("order", "Order"),
    ("spec_sheet", "Spec sheet"),
    ("wiring", "Wiring"),
    ("tables", "Resistance tables"),
)


class Head(Panel):
    """Title line of the bench."""

    _esm = script("head")
    _css = style("head")


def fixed(order: Order) -> dict[str, Any]:
    """What the order says."""
    complaint = order.complaint.removeprefix("Driver: ")
    return {
        "title": f"{order.title} · {order.truck}",
        "complaint": complaint[:1].upper() + complaint[1:],
        "papers": [list(one) for one in PAPERS],
    }


def view(attempt: Attempt, screen: Screen) -> dict[str, Any]:
    """Minutes spent and the paper that is open."""
    return {"minutes": f"{attempt.minutes:.0f}", "open": screen.panel}
