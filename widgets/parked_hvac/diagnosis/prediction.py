"""What the draws of every candidate would show for one reading, side by side."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Words = NDArray[np.str_]
Places = NDArray[np.int16]


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
    """One reading foretold for C candidates with N draws each.

    values (C, N): nan where a draw shows a word; said (C, N): 0 where it shows a number, else the place of its word in
    the vocabulary, whose first place is empty; sigma (C, N): scatter of the instrument, in the reading's unit.
    """

    values: Floats
    said: Places
    sigma: Floats
    vocabulary: tuple[str, ...] = ("",)

    def __post_init__(self) -> None:
        if not self.values.shape == self.said.shape == self.sigma.shape or self.values.ndim != 2:
            raise ValueError(
                f"values {self.values.shape}, words {self.said.shape} and sigma {self.sigma.shape} differ; "
                "give three arrays of candidates by draws."
            )

    @property
    def is_number(self) -> NDArray[np.bool_]:
        """(C, N): where a draw shows a number."""
        number: NDArray[np.bool_] = self.said == 0
        return number

    @property
    def words(self) -> Words:
        """The words themselves (C, N), '' for a number."""
        return np.asarray(self.vocabulary)[self.said]

    def place(self, seen: Observed) -> int:
        """Place of what was seen in the vocabulary; one past its end for a word no draw shows."""
        if seen.is_number:
            return 0
        return self.vocabulary.index(seen.word) if seen.word in self.vocabulary[1:] else len(self.vocabulary)

    def of(self, candidates: NDArray[np.intp]) -> Prediction:
        """Only some of the candidates."""
        return Prediction(
            self.values[candidates], self.said[candidates], self.sigma[candidates], self.vocabulary
        )


def foretelling(values: Floats, words: Words, sigma: Floats) -> Prediction:
    """A prediction from values (C, N), words (C, N), '' where a number stands, and sigma (C, N)."""
    if values.shape != words.shape:
        raise ValueError(f"values {values.shape} and words {words.shape} differ; give arrays of one shape.")
    if sigma.size and (sigma == sigma.flat[0]).all():
        # Most instruments scatter alike on every truck; thousands of predictions are kept.
        sigma = np.broadcast_to(sigma.flat[0], sigma.shape)
    number = (words == "") & np.isfinite(values)
    if number.all():
        return Prediction(values, np.zeros(values.shape, dtype=np.int16), sigma)
    found, place = np.unique(words[~number], return_inverse=True)
    said = np.zeros(values.shape, dtype=np.int16)
    said[~number] = place + 1
    return Prediction(np.where(number, values, np.nan), said, sigma, ("", *found.tolist()))
