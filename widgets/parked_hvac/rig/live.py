"""What the controller sends on the data link while it is awake."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from parked_hvac.rig import data_link
from parked_hvac.rig.harness import harness
from parked_hvac.rig.parameters import Floats
from parked_hvac.tables import DataError, nearest

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck

Flags = NDArray[np.bool_]

SPN: dict[str, int] = {
    "supply_V": 168,
    "bunk_C": 170,
    "outside_C": 171,
    "evaporator_C": 520193,
    "compressor_rpm": 520195,
    "drive_command_percent": 520197,
    "fan_command_percent": 520198,
    "cooling_asked": 520199,
}
"""Live value → the signal that carries it."""


def answers(truck: Truck) -> Flags:
    """Whether the controller answers on the data link, (B,): awake, and both wires whole."""
    loop = (
        1.0 / truck.now.conductance_S[harness().row["W72"]]
        + 1.0 / truck.now.conductance_S[harness().row["W73"]]
    )
    return np.asarray(truck.controller.alive & (loop < 100.0))


def value(truck: Truck, name: str) -> Floats:
    """A live value as the controller sends it; nan where none comes. DataError names the nearest name."""
    seen = truck.controller.temperature_C
    values: dict[str, Floats] = {
        "supply_V": truck.now.voltage_V("K0.+", "K0.-"),
        "evaporator_C": seen["B1"],
        "bunk_C": seen["B2"],
        "outside_C": seen["B3"],
        "compressor_rpm": truck.compressor.rpm,
        "drive_command_percent": np.where(
            truck.controller.speed_V > 0, (truck.controller.speed_V - 0.5) * 25.0, 0.0
        ),
        "fan_command_percent": np.where(
            truck.controller.fan_V > 0, truck.controller.fan_V / 4.5 * 100.0, 0.0
        ),
        "cooling_asked": truck.controller.running.astype(np.float64),
    }
    if name not in values:
        raise DataError(f"No live value is called {name!r}; {nearest(name, values)}")
    return np.where(answers(truck), values[name], np.nan)


def frames(truck: Truck, pgn: int) -> data_link.Bytes:
    """Bodies of a parameter group as they come over the link, (B, 8); all ones, as on an idle bus, where none comes."""
    carried = {spn: value(truck, name) for name, spn in SPN.items() if data_link.signal(spn).pgn == pgn}
    return data_link.pack_frames(pgn, carried)


def codes_messages(truck: Truck) -> list[bytes | None]:
    """Body of the DM1 message with the stored codes of each draw; None where none comes."""
    found = answers(truck)
    return [
        _dm1(tuple(sorted((code.spn, code.fmi, count) for code, count in truck.controller.stored(i))))
        if found[i]
        else None
        for i in range(truck.batch)
    ]


@lru_cache(maxsize=4096)
def _dm1(codes: tuple[tuple[int, int, int], ...]) -> bytes:
    return data_link.dm1_body(data_link.DTC(*code) for code in codes)
