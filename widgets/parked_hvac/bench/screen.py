"""What the screen remembers beyond the attempt: which place is shown, which lead goes next, what is open."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from parked_hvac.bench.trace import Trace
from parked_hvac.rig.catalogue import catalogue

if TYPE_CHECKING:
    from parked_hvac.job.attempt import Attempt

LEADS = ("red", "black")


@dataclass
class Screen:
    """State of the screen; nothing of it is part of the job, all of it can be made anew from the attempt."""

    location: str
    function: str = "dc_volts"
    leads: dict[str, str | None] = field(default_factory=lambda: {"red": None, "black": None})
    next_lead: str = "red"
    panel: str | None = None
    message: str = ""
    refused: str | None = None
    trace: Trace | None = None

    def follow(self, attempt: Attempt) -> None:
        """Take over the leads as the attempt has them; leads that came off come off here too."""
        if attempt.leads is not None:
            self.function, self.leads["red"], self.leads["black"] = attempt.leads
        elif all(self.leads.values()):
            self.leads = {"red": None, "black": None}


def screen_for(attempt: Attempt) -> Screen:
    """The screen for an attempt just opened: where the last lead is, or the cab at the beginning."""
    screen = Screen(location=next(iter(catalogue().locations)))
    screen.follow(attempt)
    if attempt.leads is not None:
        screen.location = catalogue().terminal(attempt.leads[1]).location
    elif attempt.entries:
        covers = [entry.arguments["cover"] for entry in attempt.entries if entry.action == "open_cover"]
        screen.location = catalogue().covers[str(covers[-1])].location if covers else screen.location
    return screen
