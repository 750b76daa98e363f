"""Everything warm, cold or wet on the truck, as readers see it; kernel/climate.py moves it."""

from __future__ import annotations

from collections.abc import Iterator, MutableMapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from parked_hvac.rig.controller import SENSOR_CURVES
from parked_hvac.rig.kernel.load import Load
from parked_hvac.rig.parameters import Floats


class BySensor(MutableMapping[str, Floats]):
    """Sensor → its column of the state, (B,)."""

    def __init__(self, column: NDArray[Any]) -> None:
        self._column = column

    def __getitem__(self, name: str) -> Floats:
        return np.asarray(self._column[:, list(SENSOR_CURVES).index(name)])

    def __setitem__(self, name: str, values: Floats) -> None:
        self._column[:, list(SENSOR_CURVES).index(name)] = values

    def __delitem__(self, name: str) -> None:
        raise TypeError(f"The sensor {name!r} cannot be taken out; part its connector instead.")

    def __iter__(self) -> Iterator[str]:
        return iter(SENSOR_CURVES)

    def __len__(self) -> int:
        return len(SENSOR_CURVES)


class Climate:
    """Temperatures in °C, powers in W, masses in kg; arrays are (B,)."""

    def __init__(self, load: Load) -> None:
        self._load = load
        self.sensor_C = BySensor(load.states["sensor_C"])
        """What each sensor's bead has."""

    @property
    def outside_C(self) -> Floats:
        """Temperature of the air outside."""
        return np.full(self._load.states.size, self._load.hand["outside_C"][0])

    @property
    def bunk_C(self) -> Floats:
        """Air temperature of the bunk."""
        return np.asarray(self._load.states["bunk_C"])

    @property
    def surface_C(self) -> Floats:
        """Temperature of the evaporator's fins."""
        return np.asarray(self._load.states["surface_C"])

    @property
    def condensing_C(self) -> Floats:
        """Temperature of the condenser."""
        return np.asarray(self._load.states["condensing_C"])

    @property
    def air_off_C(self) -> Floats:
        """Temperature of the air at the vent."""
        return np.asarray(self._load.states["air_off_C"])

    @property
    def compressor_C(self) -> Floats:
        """Temperature of the compressor's body."""
        return np.asarray(self._load.states["compressor_C"])

    @property
    def cooling_W(self) -> Floats:
        """Heat taken from the bunk's air."""
        return np.asarray(self._load.states["cooling_W"])

    @property
    def ice_kg(self) -> Floats:
        """Ice on the evaporator."""
        return np.asarray(self._load.states["ice_kg"])

    @property
    def water_kg(self) -> Floats:
        """Water in the drain pan."""
        return np.asarray(self._load.states["water_kg"])

    @property
    def spilled(self) -> NDArray[np.bool_]:
        """Whether the pan has ever run over."""
        return np.asarray(self._load.states["spilled"])
