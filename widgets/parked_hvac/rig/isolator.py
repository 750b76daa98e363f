"""Battery isolator Q1 as readers see it; how it works stands in kernel/isolator.py."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Flags = NDArray[np.bool_]


class Isolator:
    """State of the isolator; arrays are (B,)."""

    def __init__(self, states: NDArray[Any]) -> None:
        self._states = states

    @property
    def closed(self) -> Flags:
        """Whether the banks are joined."""
        return np.asarray(self._states["isolator_closed"])

    @property
    def wanted(self) -> Flags:
        """Whether its controller feeds the coil."""
        return np.asarray(self._states["isolator_wanted"])
