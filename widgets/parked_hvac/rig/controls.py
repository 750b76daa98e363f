"""What the driver and the technician can set by hand; the same for all draws of a batch."""

from __future__ import annotations

from dataclasses import dataclass, field

from parked_hvac.rig.catalogue import catalogue
from parked_hvac.tables import DataError, nearest

KEY_POSITIONS = ("off", "on", "engine")


@dataclass
class Controls:
    """Key, panel, and everything pulled, parted or warmed by hand."""

    key: str = "off"
    parked_cooling: bool = False
    blower_step: int = 0
    set_temperature_C: float = 22.0
    pulled: set[str] = field(default_factory=set)
    parted: set[str] = field(default_factory=set)
    warmed: set[str] = field(default_factory=set)

    def known(self, name: str, table: str) -> str:
        """The name itself if the catalogue has it in that table; DataError names the nearest otherwise."""
        names = getattr(catalogue(), table)
        if name not in names:
            raise DataError(f"No {table[:-1]} is called {name!r}; {nearest(name, names)}")
        return name
