"""What the draws of every candidate would show for one reading, side by side."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Words = NDArray[np.str_]


@dataclass(frozen=True)
class Observed:
    """What the learner's instrument showed: a number, or a word such as 'OL' and value nan."""

    value: float
    word: str = ""

    @property
    def is_number(self) -> bool:
        """Whether the display showed a number."""
        return self.word == "" and math.isfinite(self.value)


@dataclass(frozen=True)
class Prediction:
    """One reading foretold: values (C, N) nan where a draw shows a word, words (C, N), sigma (C, N).

    C candidates with N draws each; sigma is the scatter of the instrument, in the reading's unit.
    """

    values: Floats
    words: Words
    sigma: Floats

    def __post_init__(self) -> None:
        if not self.values.shape == self.words.shape == self.sigma.shape or self.values.ndim != 2:
            raise ValueError(
                f"values {self.values.shape}, words {self.words.shape} and sigma {self.sigma.shape} differ; "
                "give three arrays of candidates by draws."
            )

    @property
    def is_number(self) -> NDArray[np.bool_]:
        """(C, N): where a draw shows a number."""
        number: NDArray[np.bool_] = (self.words == "") & np.isfinite(self.values)
        return number

    def taken(self, draws: NDArray[np.intp]) -> Prediction:
        """Only some of the draws."""
        return Prediction(self.values[:, draws], self.words[:, draws], self.sigma[:, draws])

    def of(self, candidates: NDArray[np.intp]) -> Prediction:
        """Only some of the candidates."""
        return Prediction(self.values[candidates], self.words[candidates], self.sigma[candidates])

    def vocabulary(self) -> tuple[str, ...]:
        """Every word some draw shows, sorted; '' stands for 'a number' where some draw shows one."""
        found = set(np.unique(self.words[~self.is_number]).tolist())
        if self.is_number.any():
            found.add("")
        return tuple(sorted(found))
