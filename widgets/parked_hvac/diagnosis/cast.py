"""The trucks that stand for the candidates, and how a few of them come to stand for many.

A fault's draws are dear, as each is a truck to be run; sound trucks are needed only once for all faults. So each
candidate has ``count`` trucks, and there are ``sound`` sets of tolerances, of which the candidates know the first
``count``. What a candidate would show with one of the other sets is foretold by what the sound truck shows there
and here: x + b (sound there − sound here), where b is 1 if the reading follows the sound truck's and 0 if the
fault has cut it loose (control variates; J. M. Hammersley, D. C. Handscomb, Monte Carlo Methods, 1964, ch. 5,
from memory). Every set of tolerances is used for all readings together, so that what belongs together stays so.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from parked_hvac.diagnosis.candidates import Candidate, draws, prior
from parked_hvac.diagnosis.ensemble import Ensemble, fresh
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.prediction import Prediction, Words
from parked_hvac.rig.parameters import Parameters


@dataclass(frozen=True)
class Cast:
    """Candidates with ``count`` trucks each, and ``sound`` sets of tolerances."""

    among: tuple[Candidate, ...]
    count: int
    sound: int

    def trucks(self) -> Parameters:
        """The figures of all trucks: candidates · count, then the other sound ones."""
        return _trucks(self.among, self.count, self.sound)

    @property
    def prior(self) -> Floats:
        """Prior probabilities of the candidates."""
        return prior(self.among)

    @property
    def unread(self) -> Ensemble:
        """The draws before any reading."""
        if self._plain:
            return fresh(len(self.among), self.count)
        return fresh(len(self.among), self.count * self.sound, copies=max(self.count, self.sound))

    @property
    def own(self) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
        """Which draws of a prediction were run, not inferred."""
        place = np.arange(self.count)
        return place if self._plain else place * self.sound + place

    @property
    def _plain(self) -> bool:
        """Whether each set of tolerances has a truck of each candidate, so that nothing need be inferred."""
        return self.count == self.sound

    def prediction(self, values: Floats, words: Words, sigma: Floats, nothing: int) -> Prediction:
        """A prediction from a batch that begins with these trucks; nothing: index of 'nothing wrong'.

        Its draws are the count · sound pairs of truck and tolerances, or the trucks where there are as many.
        """
        c, n, k = len(self.among), self.count, self.sound
        own = values[: c * n].reshape(c, n)
        if self._plain:
            return Prediction(own, words[: c * n].reshape(c, n), sigma[: c * n].reshape(c, n))
        sound = np.concatenate([own[nothing], values[c * n : c * n + k - n]])
        step = sound[None, :] - sound[:n, None]  # (n, k): from a sound truck here to one there
        slope = _slope(own, sound[:n])
        shift = np.where(np.isfinite(step), step, 0.0)[None] * slope[:, None, None]
        spread = own[:, :, None] + shift
        told = np.repeat(words[: c * n].reshape(c, n), k, axis=1)
        scatter = np.repeat(sigma[: c * n].reshape(c, n), k, axis=1)
        return Prediction(spread.reshape(c, n * k), told, scatter)


def _slope(own: Floats, sound: Floats) -> Floats:
    """How far each candidate's reading follows the sound truck's, 0 to 1 (C,); own (C, n), sound (n,)."""
    known = np.isfinite(own) & np.isfinite(sound)
    many = known.sum(axis=1)
    here = np.where(known, sound, 0.0)
    there = np.where(known, own, 0.0)
    here = np.where(known, here - (here.sum(axis=1) / np.maximum(many, 1))[:, None], 0.0)
    there = np.where(known, there - (there.sum(axis=1) / np.maximum(many, 1))[:, None], 0.0)
    size = (here**2).sum(axis=1)
    slope = (here * there).sum(axis=1) / np.where(size > 0, size, 1.0)
    # With one number alone nothing can be said; following the sound truck is the wider, safer guess.
    return np.where(many < 2, 1.0, np.clip(slope, 0.0, 1.0))


@lru_cache(maxsize=8)
def _trucks(among: tuple[Candidate, ...], count: int, sound: int) -> Parameters:
    return draws(among, count, sound)
