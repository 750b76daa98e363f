"""Draws moved along their regression on past readings, also where the eigenvalue solver gives up."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from parked_hvac.diagnosis.regression import DAMPING, REACH, Moved, Past, move
from parked_hvac.diagnosis.rows import arrays


def moved() -> Moved:
    generator = np.random.default_rng(5)
    draws = generator.normal(size=(3, 32, 6))
    draws[1, :, 4] = np.nan  # a word
    past = Past(draws, generator.normal(size=6), np.full((3, 6), 0.01))
    targets = np.nan_to_num(draws).sum(axis=-1)[None] + 0.1 * generator.normal(size=(1, 3, 32))
    return move(past, np.full((3, 32), 1 / 32), targets)


def test_are_draws_moved_where_the_solver_gives_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """As LAPACK's does now and then on a sound matrix: on all three together, then on one of them alone."""
    plain = moved()
    sound, asked = np.linalg.eigh, []

    def eigh(gram: Any) -> Any:
        asked.append(gram.ndim)
        if len(asked) in (1, 3):
            raise np.linalg.LinAlgError("Eigenvalues did not converge")
        return sound(gram)

    monkeypatch.setattr(np.linalg, "eigh", eigh)
    again = moved()
    assert asked == [3, 2, 2, 2]
    assert again.draws == pytest.approx(plain.draws, abs=1e-9)
    assert again.extra == pytest.approx(plain.extra, abs=1e-9)


@pytest.mark.parametrize("size", [1, 2, 33, 64])
def test_does_turning_find_the_eigenvalues(size: int) -> None:
    """Beside LAPACK's own, on matrices of which it makes short work; among them equal eigenvalues, as words leave them."""
    generator = np.random.default_rng(size)
    z = generator.normal(size=(32, size))
    z[:, 1::3] = 0.0
    matrix = z.T @ z / 32.0 + np.diag(np.where(np.arange(size) % 3 == 1, 1.0, 0.003))
    values, vectors = arrays.eigen(matrix)
    assert np.sort(values) == pytest.approx(np.linalg.eigvalsh(matrix), abs=1e-12 * size)
    assert vectors @ np.diag(values) @ vectors.T == pytest.approx(matrix, abs=1e-12 * size)
    assert vectors.T @ vectors == pytest.approx(np.eye(size), abs=1e-12 * size)


@pytest.mark.parametrize("readings", [1, 6, 40])
def test_is_the_regression_the_ridge_of_the_textbook(readings: int) -> None:
    """Normal equations solved anew for each damping, the error that of draws left out (A. E. Hoerl, R. W. Kennard,
    Technometrics 12, 1970; residuals over one less leverage: D. M. Allen, Technometrics 16, 1974; from memory)."""
    generator = np.random.default_rng(readings)
    draws = generator.normal(size=(1, 32, readings))
    weights = generator.random((1, 32))
    weights /= weights.sum()
    seen = 4.0 * generator.normal(size=readings)  # some farther off than it reaches
    target = draws[0].sum(axis=-1) + 0.3 * generator.normal(size=32)
    found = move(Past(draws, seen, np.zeros((1, readings))), weights, target[None, None, :])

    w = weights[0]
    mean, spread = w @ draws[0], np.sqrt(w @ (draws[0] - w @ draws[0]) ** 2)
    z, z_seen = (draws[0] - mean) / spread, np.clip((seen - mean) / spread, -REACH, REACH)
    aim = target - w @ target
    best = (w @ (aim / (1 - w)) ** 2, aim / (1 - w), 0.0, 0.0)
    for damping in DAMPING:
        gram = z.T @ (w[:, None] * z) + damping * np.eye(readings)
        slope = np.linalg.solve(gram, z.T @ (w * aim))
        own = w * (1 + (z * np.linalg.solve(gram, z.T).T).sum(axis=1))
        residual = (aim - z @ slope) / (1 - np.minimum(own, 0.9))
        error = w @ residual**2
        if error < best[0]:
            best = (error, residual, slope @ z_seen, z_seen @ np.linalg.solve(gram, z_seen) * (w @ w))
    error, residual, shift, leverage = best
    assert found.draws[0, 0] == pytest.approx(w @ target + shift + residual, abs=1e-9)
    assert found.extra[0, 0] == pytest.approx(np.sqrt(min(leverage, 4.0) * error), abs=1e-9)


def test_does_a_word_move_nothing_and_stay_a_word() -> None:
    """Words among past readings and among the draws of the next; one that hardly any draw shows as a number tells nothing."""
    generator = np.random.default_rng(2)
    draws, weights = generator.normal(size=(1, 16, 2)), np.full((1, 16), 1 / 16)
    target = draws[None, :, :, 0].copy()
    target[0, 0, 3] = np.nan
    rare = draws.copy()
    rare[0, 2:, 1] = np.nan
    sigma, seen = np.full((1, 2), 0.1), np.array([0.5, 7.0])
    with_word = move(Past(rare, seen, sigma), weights, target)
    without = move(Past(draws[:, :, :1], seen[:1], sigma[:, :1]), weights, target)
    assert np.flatnonzero(np.isnan(with_word.draws)).tolist() == [3]
    assert with_word.draws == pytest.approx(without.draws, abs=1e-9, nan_ok=True)
    assert with_word.extra == pytest.approx(without.extra, abs=1e-9)
