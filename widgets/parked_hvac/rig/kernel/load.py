"""What the kernel is handed: all draws' records and rows, and the job to do."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass
class Load:
    """A job for B draws; every array is changed in place."""

    states: NDArray[Any]  # (B,) records.STATE
    figures: NDArray[Any]  # (B,) records.FIGURE
    cells: NDArray[Any]  # (B, batteries) records.CELL
    hand: NDArray[Any]  # (1,) records.HAND
    siemens: Floats  # (B, branches)
    source_V: Floats  # (B, branches)
    volts: Floats  # (B, nodes + 1)
    sun_W_per_m2: Floats  # (1441,) minute by minute
    coefficients: Floats  # refrigerant_tables.coefficients()
    probed_V: Floats  # (B,)
    pushed_A: Floats  # (B,)
    job: int = 0
    seconds: float = 0.0
    times: int = 1
    steps: int = 1_000_000_000
    red: int = 0
    black: int = 0

    def taken(self, draws: NDArray[np.intp]) -> Load:
        """Only the given draws, in that order, as they stand."""
        each = ("states", "figures", "cells", "siemens", "source_V", "volts", "probed_V", "pushed_A")
        return replace(self, hand=self.hand.copy(), **{name: getattr(self, name)[draws] for name in each})
