"""Draws moved along their regression on past readings, also where the eigenvalue solver gives up."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from parked_hvac.diagnosis.regression import Moved, Past, move


def moved() -> Moved:
    generator = np.random.default_rng(5)
    draws = generator.normal(size=(3, 32, 6))
    past = Past(draws, generator.normal(size=6), np.full((3, 6), 0.01))
    targets = draws.sum(axis=-1)[None] + 0.1 * generator.normal(size=(1, 3, 32))
    return move(past, np.full((3, 32), 1 / 32), targets)


def solver(failures: int) -> Any:
    """The solver that gives up so many times, as LAPACK's does now and then on a sound matrix."""
    sound, left = np.linalg.eigh, [failures]

    def eigh(gram: Any) -> Any:
        if left[0]:
            left[0] -= 1
            raise np.linalg.LinAlgError("Eigenvalues did not converge")
        return sound(gram)

    return eigh


def test_are_draws_moved_where_the_solver_gives_up(monkeypatch: pytest.MonkeyPatch) -> None:
    plain = moved()
    monkeypatch.setattr(np.linalg, "eigh", solver(2))
    again = moved()
    # A ten-billionth on the diagonal beside a damping of three thousandths.
    assert again.draws == pytest.approx(plain.draws, abs=1e-6)
    assert again.extra == pytest.approx(plain.extra, abs=1e-6)


def test_is_a_solver_that_always_gives_up_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(np.linalg, "eigh", solver(9))
    with pytest.raises(ValueError, match="No eigenvalues of"):
        moved()
