"""Unit controller K0 as readers see it, and the codes it can store; kernel/controller.py decides for it.

Laws: it wakes above a supply and boots; it cools while it is asked to, the bunk is warmer than wanted (0.5 K either way), the
supply holds, the thermal switch is closed, fins do not freeze, no pressure pause of 180 s runs and outside is above 5 °C. Below
the cut-out voltage for a delay it stops, above the restart voltage for another it starts anew, and after so many stops in a row
it waits to be switched off. A sensor that shows less than −40 or more than 85 °C is not believed: 3, 30 and 35 °C are taken for
evaporator, bunk and outside, and a code is stored. Speed command from 0.5 to 4.5 V over 1.5 K; fan command by the outside air;
'does not turn' after 5 s.
Sources: invented for this course and printed on the spec sheet (data/rig/spec-sheet.toml); codes as SAE J1939-73 packs them.
Limits: it knows only voltages at its own pins, as they are when something switches or a step ends; it does not age, and forgets
what it counted towards locking when its supply goes.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import msgspec
import numpy as np
from numpy.typing import NDArray

from parked_hvac.places import data_dir
from parked_hvac.rig.kernel.numbers import CODES
from parked_hvac.rig.parameters import Floats
from parked_hvac.tables import DataError, nearest, read_table

Flags = NDArray[np.bool_]

SENSOR_CURVES = {"B1": "5k", "B2": "5k", "B3": "10k"}
"""Sensor → the published curve of its bead, data/physics/thermistor-*.json."""


class Code(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A code the controller can store."""

    spn: int
    fmi: int
    text: str


@cache
def codes() -> dict[str, Code]:
    """All codes by id, from data/rig/codes.toml; DataError for one that the controller does not know."""
    read = read_table(data_dir() / "rig" / "codes.toml", dict[str, Code])
    for name in read:
        if name not in CODES:
            raise DataError(f"The controller has no code {name!r}; {nearest(name, CODES)}")
    return read


class Controller:
    """State of K0; arrays are (B,)."""

    def __init__(self, states: NDArray[Any]) -> None:
        self._states = states

    @property
    def alive(self) -> Flags:
        """Whether its supply keeps it awake."""
        return np.asarray(self._states["alive"])

    @property
    def running(self) -> Flags:
        """Asked for by the panel, and awake."""
        return np.asarray(self._states["running"])

    @property
    def cooling(self) -> Flags:
        """Whether it wants the compressor to run."""
        return np.asarray(self._states["cooling"])

    @property
    def cut_out(self) -> Flags:
        """Whether low voltage has stopped it."""
        return np.asarray(self._states["cut_out"])

    @property
    def speed_V(self) -> Floats:
        """Command to the drive."""
        return np.asarray(self._states["speed_V"])

    @property
    def fan_V(self) -> Floats:
        """Command to the condenser fan."""
        return np.asarray(self._states["fan_V"])

    @property
    def temperature_C(self) -> dict[str, Floats]:
        """What it takes each sensor for; nan while it sleeps."""
        return {name: np.asarray(self._states["seen_C"][:, i]) for i, name in enumerate(SENSOR_CURVES)}

    def stored(self, draw: int) -> list[tuple[Code, int]]:
        """Codes of one draw with their occurrence counts."""
        counts = self._states["counts"][draw]
        return [
            (code, int(counts[CODES.index(name)]))
            for name, code in codes().items()
            if counts[CODES.index(name)] > 0
        ]
