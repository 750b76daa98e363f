"""How long a planned action takes, before anyone takes it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from parked_hvac.job.labour import labour
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.faults import fault


def minutes_of(verb: str, arguments: Mapping[str, Any]) -> float:
    """Minutes of an action; KeyError for a verb or name that does not exist."""
    table = labour()
    if verb == "prepare":
        return table.prepare[str(arguments["step"])]
    if verb in ("open_cover", "close_cover"):
        cover = table.covers[str(arguments["cover"])]
        return cover.open if verb == "open_cover" else cover.close
    if verb in ("part_connector", "seat_connector"):
        kind = table.connectors[catalogue().connectors[str(arguments["connector"])].kind]
        return kind.part if verb == "part_connector" else kind.seat
    if verb in ("wait", "warm_sensor"):
        return float(arguments["seconds"]) / 60.0
    if verb == "repair":
        return fault(str(arguments["fault"])).repair_minutes
    return table.verbs[verb]
