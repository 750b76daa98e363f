"""What an instrument shows, for every draw of a batch."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Words = NDArray[np.str_]

MINUS = "\N{MINUS SIGN}"
_PREFIXES = ((1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"))
_PREFIXED = ("V", "Ω", "Hz")
_COUNTS = 6000.0  # a range of that many counts decides the prefix, as on the meter


@dataclass(frozen=True)
class Outcome:
    """A reading of B draws: numbers in ``values`` (B,), nan where ``words`` (B,) holds a word such as 'OL'.

    ``sigma`` is one standard deviation of the instrument, its accuracy limits taken as two, in ``unit``.
    """

    values: Floats
    words: Words
    unit: str
    resolution: Floats
    sigma: Floats
    text: Callable[[int], str] | None = field(default=None, repr=False)
    """Makes the display of one draw where number and word alone do not tell it."""

    @cached_property
    def display(self) -> tuple[str, ...]:
        """What the instrument shows, per draw, with its unit."""
        return tuple(self.shown(draw) for draw in range(self.values.size))

    def shown(self, draw: int = 0) -> str:
        """What the instrument shows in one draw."""
        if self.text is not None:
            return self.text(draw)
        word = str(self.words[draw])
        return word or shown(float(self.values[draw]), float(self.resolution[draw]), self.unit)

    def nearly(self, draw: int = 0) -> tuple[str, ...]:
        """What it would show in one draw with the last digit a step lower, and higher; () where it shows no number."""
        if self.text is not None or self.words[draw]:
            return ()
        value, step = float(self.values[draw]), float(self.resolution[draw])
        return (shown(value - step, step, self.unit), shown(value + step, step, self.unit))


def shown(value: float, resolution: float, unit: str) -> str:
    """A number with as many digits as the instrument has, with unit prefix as its range asks: '12.3 mV'."""
    scale, prefix = 1.0, ""
    if unit in _PREFIXED:
        full_scale = resolution * _COUNTS
        scale, prefix = next((s, p) for s, p in _PREFIXES if full_scale >= s or p == "m")
    # As many as the last step needs: two for steps of 0.05. A rounding error must not ask for one more.
    decimals = max(0, int(np.ceil(-np.log10(resolution / scale) - 1e-9)))
    digits = f"{round(value / scale, decimals) + 0.0:.{decimals}f}".replace("-", MINUS)
    return f"{digits} {prefix}{unit}"


def numbers(values: ArrayLike, resolution: float, limit: ArrayLike, unit: str) -> Outcome:
    """An outcome of numbers alone; ``limit`` (B,) is the accuracy limit, taken as two sigma."""
    rounded = to_step(np.asarray(values, dtype=np.float64), np.float64(resolution))
    step = np.full(rounded.shape, float(resolution))
    return Outcome(
        values=rounded,
        words=np.full(rounded.shape, "", dtype="<U1"),
        unit=unit,
        resolution=step,
        sigma=sigma(np.broadcast_to(np.asarray(limit, dtype=np.float64), rounded.shape), step),
    )


def categories(words: ArrayLike, text: Callable[[int], str] | None = None) -> Outcome:
    """An outcome of words alone (B,), such as what eyes and ears tell."""
    told = np.asarray(words, dtype=np.str_)
    nothing = np.full(told.shape, np.nan)
    return Outcome(values=nothing, words=told, unit="", resolution=nothing, sigma=nothing, text=text)


def to_step(values: Floats, resolution: Floats | np.float64) -> Floats:
    """Values rounded to whole steps, free of the dust of binary fractions."""
    steps = np.rint(values / resolution)
    per_unit = np.rint(1.0 / np.minimum(resolution, 1.0))
    return np.asarray(np.where(resolution < 1.0, steps / per_unit, steps * resolution) + 0.0)


def accuracy_limit(values: ArrayLike, percent: ArrayLike, counts: ArrayLike, resolution: ArrayLike) -> Floats:
    """Accuracy ±(percent of reading + counts of the last digit), in the unit of the values; any one shape."""
    last_digits = np.asarray(counts, dtype=np.float64) * np.asarray(resolution, dtype=np.float64)
    return np.asarray(np.abs(values) * np.asarray(percent, dtype=np.float64) / 100.0 + last_digits)


def sigma(limit: Floats, resolution: Floats) -> Floats:
    """One standard deviation from accuracy limits (two sigma), no finer than rounding (step over √12)."""
    return np.asarray(np.maximum(limit / 2.0, resolution / np.sqrt(12.0)))
