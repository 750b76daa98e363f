"""The picture of one location, with tabs, leads, covers, cautions and messages."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from parked_hvac.bench.cautions import cautions_here
from parked_hvac.bench.drawings import drawings_for_screen
from parked_hvac.bench.frontend import Panel, script, style
from parked_hvac.bench.words import minutes
from parked_hvac.job.labour import labour
from parked_hvac.rig.catalogue import catalogue

if TYPE_CHECKING:
    from parked_hvac.bench.screen import Screen
    from parked_hvac.job.attempt import Attempt


class Picture(Panel):
    """The drawing of a location."""

    _esm = script("picture")
    _css = style("picture")


def fixed() -> dict[str, Any]:
    """All drawings, what each terminal is called, the tabs."""
    return {
        "drawings": drawings_for_screen(),
        "labels": {name: terminal.label for name, terminal in catalogue().terminals.items()},
        "tabs": list(catalogue().locations.items()),
    }


def view(attempt: Attempt, screen: Screen) -> dict[str, Any]:
    """What the picture shows now."""
    truck = catalogue()
    return {
        "location": screen.location,
        "covers": {
            name: {
                "label": cover.label,
                "open": name in attempt.open_covers,
                "cost": minutes(labour().covers[name].open),
            }
            for name, cover in truck.covers.items()
        },
        "covered": sorted(
            name
            for name, terminal in truck.terminals.items()
            if terminal.cover is not None and terminal.cover not in attempt.open_covers
        ),
        "pulled": sorted(attempt.pulled),
        "parted": sorted(attempt.parted),
        "leads": dict(screen.leads),
        "where": {
            lead: None if name is None else truck.locations[truck.terminal(name).location]
            for lead, name in screen.leads.items()
        },
        "cautions": list(cautions_here(attempt, screen)),
        "message": screen.message,
        "refused": None if screen.panel else screen.refused,
    }
