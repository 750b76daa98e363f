"""A load behind a gap in the wiring: the little voltage that is left across it."""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.rig.figures import figures
from parked_hvac.rig.kernel import loads
from parked_hvac.rig.parameters import nominal

P = figures(nominal(), 25.0).view(np.recarray)[0]


@pytest.mark.parametrize("ohm", [1.1e3, 1e6, 1e12])
@pytest.mark.parametrize("number", [0, 1, 2])
@pytest.mark.parametrize("open_V", [12.6, 3.0, 1e-7])
def test_do_load_and_gap_share_the_open_voltage(number: int, open_V: float, ohm: float) -> None:
    """Against halving, which needs no law's slope: a thousand times, down to the last bit of numbers near 0."""

    def missed(volts: float) -> float:
        return volts + ohm * loads.law(number, volts, P, 700.0, 60.0)[0] - open_V

    low, high = 0.0, open_V
    for _ in range(1000):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if missed(middle) < 0.0 else (low, middle)
    found = loads._left_V(number, open_V, ohm, P, 700.0, 60.0)
    # What both miss by is told in ten trillionths of the open voltage; over the gap's resistance that is the current's share.
    assert found == pytest.approx(high, rel=1e-9, abs=1e-300)


@pytest.mark.parametrize("number", [0, 1, 2])
def test_is_a_dead_wire_a_dead_load(number: int) -> None:
    assert loads._left_V(number, 0.0, 1e6, P, 700.0, 60.0) == pytest.approx(0.0, abs=1e-12)
