"""The figures of one truck, or of many drawn side by side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from parked_hvac.rig.catalogue import Figure, catalogue
from parked_hvac.tables import DataError, nearest

Floats = NDArray[np.float64]


class Parameters(Mapping[str, Floats]):
    """Figure name → values of all draws, each (B,), in the figure's unit."""

    def __init__(self, table: Floats) -> None:
        """table: (number of figures, B) in the order of ``names()``."""
        self._table = table
        self.batch = int(table.shape[1])

    def __getitem__(self, name: str) -> Floats:
        values: Floats = self._table[_row(name)]
        return values

    def __iter__(self) -> Iterator[str]:
        return iter(names())

    def __len__(self) -> int:
        return len(names())

    def copy(self) -> Parameters:
        """A copy that can be edited without touching this one."""
        return Parameters(self._table.copy())

    def set(self, name: str, values: Floats) -> None:
        """Change a figure in place, held inside its valid range."""
        low, high = _figures()[name].range
        self._table[_row(name)] = np.clip(values, low, high)

    def taken(self, draws: NDArray[np.intp] | Sequence[int]) -> Parameters:
        """Only the given draws, in that order."""
        return Parameters(self._table[:, np.asarray(draws, dtype=np.intp)])


def names() -> tuple[str, ...]:
    """Names of all figures, in the order of the rows of a table."""
    return tuple(_figures())


def nominal(batch: int = 1) -> Parameters:
    """The truck as drawn, without tolerances, ``batch`` times."""
    values = np.array([figure.value for figure in _figures().values()])
    return Parameters(np.repeat(values[:, None], batch, axis=1))


def draw(batch: int, generator: np.random.Generator) -> Parameters:
    """Trucks from the same line: every figure with its own tolerance; held inside its valid range."""
    value, spread, absolute, low, high = _arrays()
    noise = generator.standard_normal((value.size, batch))
    # 2.5 sigma and more is what a maker's final check sends back.
    noise = np.clip(noise, -2.5, 2.5)
    relative = value[:, None] * np.exp(spread[:, None] * noise)
    shifted = value[:, None] + spread[:, None] * noise
    table = np.where(absolute[:, None], shifted, relative)
    return Parameters(np.clip(table, low[:, None], high[:, None]))


def join(parts: Sequence[Parameters]) -> Parameters:
    """Several sets side by side as one batch."""
    return Parameters(np.concatenate([part._table for part in parts], axis=1))


def figure(name: str) -> Figure:
    """Unit, range, spread and source of a figure; DataError names the nearest for an unknown name."""
    _row(name)
    return _figures()[name]


@cache
def _figures() -> dict[str, Figure]:
    return catalogue().figures


@cache
def _rows() -> dict[str, int]:
    return {name: i for i, name in enumerate(_figures())}


def _row(name: str) -> int:
    try:
        return _rows()[name]
    except KeyError:
        raise DataError(f"No figure is called {name!r}; {nearest(name, _rows())}") from None


@cache
def _arrays() -> tuple[Floats, Floats, NDArray[np.bool_], Floats, Floats]:
    figures = list(_figures().values())
    return (
        np.array([f.value for f in figures]),
        np.array([f.spread for f in figures]),
        np.array([f.absolute for f in figures]),
        np.array([f.range[0] for f in figures]),
        np.array([f.range[1] for f in figures]),
    )
