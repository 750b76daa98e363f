"""Predictions and words that several processes work out for each other, as files in a folder that they have in common."""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from parked_hvac.diagnosis.prediction import Prediction
from parked_hvac.whole_file import whole_file

MOST = 4000
"""Predictions that one process puts there, some 30 kilobytes each: of a class that hardly shares any, not the whole disk."""


class Shelf:
    """Where they lie by name. Whatever cannot be read or written there is worked out again, and nothing else."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._put = 0

    def get(self, name: str) -> Prediction | None:
        """The prediction of that name; None where nobody has put it there."""
        try:
            with self._file(name).open("rb") as file, np.load(file, allow_pickle=False) as found:
                values, said, sigma = found["values"], found["said"], found["sigma"]
                words = tuple(str(word) for word in found["vocabulary"])
            return Prediction(values, said, np.broadcast_to(sigma, values.shape), words)
        except (OSError, EOFError, ValueError, KeyError, BadZipFile):
            return None

    def put(self, name: str, told: Prediction) -> None:
        """Put a prediction there; whole or not at all, as others look for it meanwhile."""
        if self._put == MOST:
            return
        self._put += 1
        file = self._file(name)
        same = told.sigma.size > 0 and not any(told.sigma.strides)
        with suppress(OSError), whole_file(file) as half, half.open("wb") as begun:
            np.savez(
                begun,
                values=told.values,
                said=told.said,
                sigma=told.sigma[:1, :1] if same else told.sigma,
                vocabulary=np.array(told.vocabulary),
            )

    def words(self, name: str) -> tuple[str, ...] | None:
        """The words of that name; None where nobody has put them there."""
        try:
            return tuple(json.loads(self._file(name, "json").read_text(encoding="utf-8")))
        except (OSError, ValueError, TypeError):
            return None

    def put_words(self, name: str, words: Sequence[str]) -> None:
        """Put words there; whole or not at all."""
        with suppress(OSError), whole_file(self._file(name, "json")) as half:
            half.write_text(json.dumps(list(words)), encoding="utf-8")

    def _file(self, name: str, kind: str = "npz") -> Path:
        return self._folder / f"{sha256(name.encode()).hexdigest()[:32]}.{kind}"
