"""What hands and probes can reach: covers, connectors, fuses."""

from __future__ import annotations

from collections.abc import Collection

from parked_hvac.job.errors import Refused
from parked_hvac.rig.catalogue import catalogue

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


def reach_terminal(terminal: str, open_covers: Collection[str]) -> None:
    """Raise Refused if a probe cannot touch the terminal because its cover is on."""
    _uncovered(catalogue().terminal(terminal).cover, open_covers, f"{terminal} is out of reach")


def reach_connector(connector: str, open_covers: Collection[str]) -> None:
    """Raise Refused if a hand cannot reach the connector."""
    _uncovered(catalogue().connectors[connector].cover, open_covers, f"{connector} is out of reach")


def reach_fuse(fuse: str, open_covers: Collection[str]) -> None:
    """Raise Refused if a hand cannot reach the fuse."""
    _uncovered(catalogue().fuses[fuse].cover, open_covers, f"Fuse {fuse} is out of reach")


def reach_battery(battery: str, open_covers: Collection[str]) -> None:
    """Raise Refused if the posts of the battery are covered."""
    _uncovered(catalogue().terminal(f"{battery}+").cover, open_covers, f"Battery {battery} is out of reach")


def reach_location(location: str, open_covers: Collection[str]) -> None:
    """Raise Refused if a place lies wholly under a cover that is on, such as the inside of the unit."""
    for name, cover in catalogue().covers.items():
        if cover.location == location:
            _uncovered(name, open_covers, f"{catalogue().locations[location]} cannot be seen")


def reach_point(point: str, open_covers: Collection[str]) -> None:
    """Raise Refused if the thermometer cannot touch the point."""
    _uncovered(POINT_COVERS.get(point), open_covers, f"The {point} is out of reach")


def location_label(location: str) -> str:
    """Name of a location as a screen shows it."""
    return catalogue().locations[location]


def uncovered_for_work(covers: Collection[str], open_covers: Collection[str], what: str) -> None:
    """Raise Refused unless all covers that a piece of work needs off are off."""
    for cover in covers:
        _uncovered(cover, open_covers, what)


def _uncovered(cover: str | None, open_covers: Collection[str], what: str) -> None:
    if cover is not None and cover not in open_covers:
        raise Refused(f"{what}: take the {catalogue().covers[cover].label} off first.")
