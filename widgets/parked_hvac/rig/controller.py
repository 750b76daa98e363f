"""Unit controller K0 as readers see it, and the codes it can store; kernel/controller.py decides for it."""

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
