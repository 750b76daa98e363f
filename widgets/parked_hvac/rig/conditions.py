"""How the truck stands when it comes into the shop."""

from __future__ import annotations

import msgspec


class Conditions(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Weather, rest and habits of one work order; a part of its file."""

    outside_C: float = 32.0
    relative_humidity: float = 0.45
    sun_hour: float = 15.0
    """Clock hour when the order begins; 22 is night."""
    engine_off_h: float = 3.0
    """Hours since the engine last ran: how far surface charge has bled off."""
    aux_charge: float = 0.92
    """State of charge of a sound auxiliary bank."""
    start_charge: float = 0.90
    bunk_C: float = 31.0
    occupants: int = 1
    curtains: str = "closed"
    """'closed' or 'open': whether the bunk exchanges air with the cab."""
