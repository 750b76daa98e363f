"""A load with less room for its wiring: most branches never move, and have no source."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from parked_hvac.rig.kernel.load import Floats, Load
from parked_hvac.rig.kernel.wiring import wiring


def packed(load: Load) -> Load:
    """A copy whose rows of conductances and sources hold only the branches that work moves; not to be worked with."""
    each = ("states", "cells", "volts", "hand", "probed_V", "pushed_A")
    return replace(
        load,
        siemens=load.siemens[:, _moved()],
        source_V=load.source_V[:, wiring().sources],
        **{name: getattr(load, name).copy() for name in each},
    )


def unpacked(load: Load, at_rest_S: Floats) -> Load:
    """The load that was packed; ``at_rest_S`` (B, branches): conductances of the branches that work does not move, taken over."""
    each = ("states", "cells", "volts", "hand", "probed_V", "pushed_A")
    at_rest_S[:, _moved()] = load.siemens
    source_V = np.zeros(at_rest_S.shape)
    source_V[:, wiring().sources] = load.source_V
    copies = {name: getattr(load, name).copy() for name in each}
    return replace(load, siemens=at_rest_S, source_V=source_V, **copies)


def _moved() -> NDArray[np.int64]:
    where = wiring()
    return np.union1d(where.switched, where.moving_branch)
