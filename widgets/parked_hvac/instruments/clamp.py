"""The DC clamp: current through a cable by its magnetic field, with a zero that drifts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from parked_hvac.instruments.outcome import Outcome, sigma, to_step
from parked_hvac.instruments.specification import tools

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck


def read(truck: Truck, cable: str) -> Outcome:
    """Amperes in a cable, positive from its first end to its second; the zero offset is not taken off."""
    return _show(truck, truck.current_A(cable))


def read_empty(truck: Truck) -> Outcome:
    """What the clamp shows with nothing in its jaws: the offset of its zero."""
    return _show(truck, np.zeros(truck.batch))


def _show(truck: Truck, current_A: np.typing.NDArray[np.float64]) -> Outcome:
    own = tools().clamp
    shown_A = current_A + truck.parameters["clamp.zero_A"]
    overload = np.abs(shown_A) > own.full_scale_A.value
    step = np.full(shown_A.shape, own.resolution_A.value)
    values = np.where(overload, np.nan, to_step(np.where(overload, 0.0, shown_A), step))
    limit = np.abs(np.nan_to_num(values)) * own.percent.value / 100.0 + own.absolute_A.value
    return Outcome(values, np.where(overload, "OL", ""), "A", step, sigma(limit, step))
