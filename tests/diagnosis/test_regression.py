"""Draws moved along their regression on past readings, also where the eigenvalue solver gives up."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from parked_hvac.diagnosis.regression import Moved, Past, move
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
