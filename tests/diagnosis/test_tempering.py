"""Draws that do not fit fade, but never so far that a handful that fit by chance stand for all."""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.diagnosis.ensemble import _tempered
from parked_hvac.diagnosis.kernel import effective_draws


@pytest.mark.parametrize("steep", [0.1, 3.0, 200.0])
def test_is_the_power_the_largest_that_leaves_half_of_the_draws(steep: float) -> None:
    generator = np.random.default_rng(8)
    weights = generator.random((6, 32)) + 0.2
    weights /= weights.sum(axis=1, keepdims=True)
    factor = steep * generator.normal(size=(6, 32))
    least = np.minimum(effective_draws(weights), 16.0)
    found = _tempered(weights, factor, 0.5)
    for weight, row, result, limit in zip(weights, factor, found, least, strict=True):
        powers = np.linspace(0.0, 1.0, 200_001)
        # Powers beyond those that halving can tell apart lie between two of these.
        powers = powers[powers <= min(1.0, 40.0 / np.ptp(row))]
        raised = np.log(weight) + powers[:, None] * row
        raised = np.exp(raised - raised.max(axis=1, keepdims=True))
        raised /= raised.sum(axis=1, keepdims=True)
        best = raised[np.flatnonzero(effective_draws(raised) >= limit)[-1]]
        # Fourteen halvings find the power to 6e-5 of itself, which moves a weight by steep times that share of itself.
        assert result == pytest.approx(best, rel=2e-4 * max(steep, 1.0) * 6.0)
        assert effective_draws(result) >= limit - 1e-9
