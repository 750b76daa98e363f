"""Minimum and maximum hold: the meter remembers an extreme while time passes."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from parked_hvac.instruments import meter
from parked_hvac.instruments.outcome import Floats, Outcome

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck

HOLDABLE = ("dc_volts", "ac_volts", "hertz")
"""Functions whose extreme can be held; the others switch ranges with their test current."""


class Hold:
    """The lowest or highest value (B,) since it was armed; hand ``watch`` to ``Truck.advance``."""

    def __init__(self, mode: Literal["min", "max"], function: str, red: str, black: str) -> None:
        if function not in HOLDABLE:
            raise ValueError(
                f"The meter holds no extreme of {function!r}; choose one of {', '.join(HOLDABLE)}."
            )
        self.mode = mode
        self.function = function
        self.red = red
        self.black = black
        self._extreme: Floats | None = None

    def taken(self, draws: NDArray[np.intp]) -> Hold:
        """Only the given draws, in that order."""
        some = copy.copy(self)
        some._extreme = None if self._extreme is None else self._extreme[draws]
        return some

    def watch(self, truck: Truck) -> None:
        """Take the present value into account."""
        self._extreme = self._including(truck)

    def show(self, truck: Truck) -> Outcome:
        """The held extreme as the meter shows it, the present value included; looking changes nothing."""
        return meter.show(self.function, self._including(truck), meter.gain_error(truck))

    def _including(self, truck: Truck) -> Floats:
        now = meter.sense(truck, self.function, self.red, self.black)
        if self._extreme is None:
            return now
        return np.asarray((np.minimum if self.mode == "min" else np.maximum)(self._extreme, now))
