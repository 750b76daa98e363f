"""The contact thermometer."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from parked_hvac.instruments.outcome import Outcome, numbers
from parked_hvac.instruments.specification import tools

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck


def read(truck: Truck, point: str) -> Outcome:
    """Temperature in °C of a point the thermometer can touch."""
    own = tools().thermometer
    temperature_C = truck.temperature_C(point)
    limit = np.abs(temperature_C) * own.percent.value / 100.0 + own.absolute_C.value
    return numbers(temperature_C, own.resolution_C.value, limit, "°C")
