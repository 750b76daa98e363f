"""What hands, eyes and probes can reach: which covers an action needs off.

The one place that knows; verbs refuse by it, and whoever plans work ahead can ask it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from parked_hvac.job.errors import Refused
from parked_hvac.job.spoken import terminals
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.faults import faults

POINT_COVERS = {
    "evaporator": "unit_lid",
    "compressor body": "unit_lid",
    "liquid line": "unit_lid",
    "suction line": "unit_lid",
    "lug W7.1": "aux_bank_lid",
    "holder F1": "feed_panel_cover",
    "relay K1": "unit_lid",
    "plug X35": "unit_lid",
}
"""Points of the thermometer that lie under a cover; the others are open to the hand."""

_HEARD_THROUGH_COVERS = ("start_bank", "aux_bank", "feed_panel")


def needed_covers(verb: str, arguments: Mapping[str, Any]) -> tuple[str, ...]:
    """Covers that must be off for an action with checked arguments; each once, none for most verbs."""
    covers = [cover for _, cover in _hidden(verb, arguments)]
    return tuple(dict.fromkeys(covers))


def reach(verb: str, arguments: Mapping[str, Any], open_covers: Collection[str]) -> None:
    """Raise Refused, naming the cover to take off, if an action cannot be done with these covers off."""
    for what, cover in _hidden(verb, arguments):
        if cover not in open_covers:
            raise Refused(
                f"{terminals(what[:1].upper() + what[1:])} is out of reach: take the {catalogue().covers[cover].label} off first."
            )


def _hidden(verb: str, arguments: Mapping[str, Any]) -> list[tuple[str, str]]:
    """What an action touches and the cover over it, for everything that has one."""
    truck = catalogue()
    found: list[tuple[str, str | None]] = []
    if verb in ("measure", "place_leads"):
        found = [(arguments[lead], truck.terminal(arguments[lead]).cover) for lead in ("red", "black")]
    elif verb in ("part_connector", "seat_connector"):
        name = arguments["connector"]
        found = [(name, truck.connectors[name].cover)]
    elif verb in ("pull_fuse", "fit_fuse"):
        name = arguments["fuse"]
        found = [(f"Fuse {name}", truck.fuses[name].cover)]
    elif verb in ("test_battery", "load_test"):
        name = arguments["battery"]
        found = [(f"Battery {name}", truck.terminal(f"{name}+").cover)]
    elif verb == "clamp":
        found = [(f"Cable {arguments['cable']}", _cover_of_cable(arguments["cable"]))]
    elif verb == "thermometer":
        found = [(f"The {arguments['point']}", POINT_COVERS.get(arguments["point"]))]
    elif verb in ("look", "feel", "listen"):
        place = arguments["location"]
        if not (verb == "listen" and place in _HEARD_THROUGH_COVERS):
            found = [
                (truck.locations[place], c) for c, cover in truck.covers.items() if cover.location == place
            ]
    elif verb == "warm_sensor":
        found = [(arguments["sensor"], truck.terminal(f"{arguments['sensor']}.1").cover)]
    elif verb == "discharge_capacitors":
        found = [("T1.+", truck.terminal("T1.+").cover)]
    elif verb == "repair":
        fault = faults()[arguments["fault"]]
        found = [(fault.component or "The part", cover) for cover in fault.access]
    return [(what, cover) for what, cover in found if cover is not None]


def _cover_of_cable(name: str) -> str | None:
    """The cover a whole cable lies under; one that leaves a box can be clamped on its way."""
    cable = catalogue().cables[name]
    ends = [catalogue().terminals.get(end) for end in (cable.start, cable.end)]
    covers = {end.cover for end in ends if end is not None}
    return covers.pop() if len(covers) == 1 and None not in ends else None
