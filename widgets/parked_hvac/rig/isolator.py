"""Battery isolator Q1: joins the banks while the start bank is being charged."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from parked_hvac.rig.parameters import Floats, Parameters

Flags = NDArray[np.bool_]

_ALIVE_V = 6.0  # below it the isolator's controller and coil give up; common practice, no source


class Isolator:
    """Contactor with its own controller, fed and told by the sense lead; state arrays are (B,)."""

    def __init__(self, parameters: Parameters) -> None:
        self.adopt(parameters)
        self.wanted = np.zeros(parameters.batch, dtype=bool)
        self._rising_s = np.zeros(parameters.batch)
        self._falling_s = np.zeros(parameters.batch)
        self.closed = self._stuck_closed.copy()

    def adopt(self, parameters: Parameters) -> None:
        """Take over the figures, as after a repair."""
        self._p = parameters
        self._stuck_open = parameters["isolator.stuck_open"] > 0.5
        self._stuck_closed = parameters["isolator.stuck_closed"] > 0.5

    def settle(self, sense_V: Floats) -> Flags:
        """Let the contactor follow its coil at this sense voltage; in which draws a contact moved."""
        held = self.wanted & (sense_V > np.where(self.closed, self._p["relay.drop_out_V"], _ALIVE_V))
        closed = (held & ~self._stuck_open) | self._stuck_closed
        moved: Flags = closed != self.closed
        self.closed = closed
        return moved

    def advance(self, sense_V: Floats, seconds: float) -> None:
        """Run the two delays over a step in which the sense lead held this voltage."""
        alive = sense_V > _ALIVE_V
        charging = alive & (sense_V > self._p["isolator.close_V"])
        resting = sense_V < self._p["isolator.open_V"]
        self._rising_s = np.where(charging, self._rising_s + seconds, 0.0)
        self._falling_s = np.where(resting, self._falling_s + seconds, 0.0)
        close = self._rising_s >= self._p["isolator.close_delay_s"] - 1e-9
        release = (self._falling_s >= self._p["isolator.open_delay_s"] - 1e-9) | ~alive
        self.wanted = np.where(release, False, np.where(close, True, self.wanted))

    def next_event_s(self) -> Floats:
        """Seconds until a running delay ends, inf where none runs; (B,)."""
        close = np.where(
            (self._rising_s > 0) & ~self.wanted, self._p["isolator.close_delay_s"] - self._rising_s, np.inf
        )
        release = np.where(
            (self._falling_s > 0) & self.wanted, self._p["isolator.open_delay_s"] - self._falling_s, np.inf
        )
        return np.minimum(close, release)
