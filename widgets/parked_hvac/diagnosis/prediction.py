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
        return (self.words == "") & np.isfinite(self.values)

    def vocabulary(self) -> tuple[str, ...]:
        """Every word some draw shows, sorted; '' stands for 'a number' where some draw shows one."""
        found = set(np.unique(self.words[~self.is_number]).tolist())
        if self.is_number.any():
            found.add("")
        return tuple(sorted(found))


def from_batch(values: Floats, words: Words, sigma: Floats, candidates: int) -> Prediction:
    """A prediction from flat arrays (B,), the draws of one candidate after the other, B = C · N."""
    if values.size % candidates:
        raise ValueError(
            f"{values.size} draws do not divide among {candidates} candidates; give each the same number."
        )
    shape = (candidates, -1)
    return Prediction(values.reshape(shape), words.reshape(shape), sigma.reshape(shape))
