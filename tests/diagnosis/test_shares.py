"""Shares of kernels between edges: the quick series beside the logistic curve itself."""

from __future__ import annotations

import numpy as np
import pytest
from threadpoolctl import threadpool_info  # type: ignore[import-untyped]

from parked_hvac.diagnosis import regression
from parked_hvac.diagnosis.rows import arrays


@pytest.mark.parametrize("edges", [1, 7, 48])
def test_are_shares_those_of_the_logistic_curve(edges: int) -> None:
    generator = np.random.default_rng(3)
    draws = generator.normal(size=(5, 32))
    width = generator.uniform(
        1e-9, 0.5, size=draws.shape
    )  # from no scatter at all to one that blurs everything
    held = generator.uniform(size=draws.shape)
    held[2] = 0.0
    held[3, :20] = 0.0
    at = np.sort(generator.normal(size=edges))
    found = arrays.shares(draws, width, held, at, 1.5)
    with np.errstate(over="ignore"):
        below = 1.0 / (1.0 + np.exp((draws[..., None] - at) * 1.5 / width[..., None]))
    edge = np.zeros((*draws.shape, 1))
    exact = np.diff(np.concatenate([edge, below, edge + 1.0], axis=-1), axis=-1)
    weight = held / np.maximum(held.sum(axis=1, keepdims=True), 1e-300)
    # Where the curve is cut off two billionths are left, at either side.
    assert found == pytest.approx((weight[..., None] * exact).sum(axis=1), abs=5e-9)
    assert found[2].tolist() == [0.0] * (edges + 1)


def test_do_small_matrices_keep_to_one_thread() -> None:
    """With a second one, which waits for matrices of a few dozen rows, a long attempt took five times as long."""
    assert regression.DAMPING  # the module that sets the limit
    pools = [pool for pool in threadpool_info() if pool["user_api"] == "blas"]
    assert all(pool["num_threads"] == 1 for pool in pools)
