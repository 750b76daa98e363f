"""Pulse trains: what a switched voltage is to a meter that averages, and to one that takes the true RMS.

Laws: mean, true RMS and rectified mean of a two-level wave; an averaging meter shows 1.1107 times the rectified mean.
Source: closed forms; checked against published errors of averaging meters (tests/reference/authorities/dmm_pulse.json).
Limits: ideal edges, a steady duty, and a meter that is fast enough for the whole wave.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = float | NDArray[np.float64]

SINE_FORM_FACTOR = np.pi / (2.0 * np.sqrt(2.0))  # RMS over rectified mean of a sine wave, 1.1107


@dataclass(frozen=True)
class PulseTrain:
    """A voltage at ``high_V`` for the fraction ``duty`` of each period and at ``low_V`` for the rest.

    Floats or arrays of one broadcastable shape. Closed forms of the two-level wave; a frequency of 0 means
    that nothing switches. Raises ValueError for a duty outside 0 to 1 or a negative frequency.
    """

    low_V: Floats
    high_V: Floats
    duty: Floats
    frequency_Hz: Floats

    def __post_init__(self) -> None:
        duty = np.asarray(self.duty)
        if not (np.all(duty >= 0) and np.all(duty <= 1)):
            raise ValueError(
                f"A duty lies between 0 and 1, not {duty.min()} to {duty.max()}: divide percent by 100."
            )
        if not np.all(np.asarray(self.frequency_Hz) >= 0):
            raise ValueError(
                f"A frequency of {self.frequency_Hz} Hz is negative: give 0 for a steady voltage."
            )

    @property
    def mean_V(self) -> NDArray[np.float64]:
        """Mean in V: what a meter shows on DC volts."""
        return np.asarray(self.low_V + (self.high_V - self.low_V) * np.asarray(self.duty))

    @property
    def rms_V(self) -> NDArray[np.float64]:
        """True RMS in V of the whole wave (AC + DC)."""
        duty = np.asarray(self.duty)
        return np.asarray(np.sqrt(np.square(self.high_V) * duty + np.square(self.low_V) * (1.0 - duty)))

    @property
    def ac_rms_V(self) -> NDArray[np.float64]:
        """True RMS in V of the alternating part: what a true-RMS meter shows on AC volts."""
        duty = np.asarray(self.duty)
        return np.asarray(np.abs(self.high_V - np.asarray(self.low_V)) * np.sqrt(duty * (1.0 - duty)))

    @property
    def rectified_mean_V(self) -> NDArray[np.float64]:
        """Mean in V of the absolute value of the whole wave."""
        duty = np.asarray(self.duty)
        return np.asarray(np.abs(self.high_V) * duty + np.abs(self.low_V) * (1.0 - duty))

    @property
    def average_responding_V(self) -> NDArray[np.float64]:
        """Reading in V of a DC-coupled meter that averages and is scaled to the RMS of a sine."""
        return np.asarray(SINE_FORM_FACTOR * self.rectified_mean_V)

    @property
    def ac_average_responding_V(self) -> NDArray[np.float64]:
        """Reading in V of an AC-coupled meter that averages and is scaled to the RMS of a sine."""
        duty = np.asarray(self.duty)
        swing = np.abs(self.high_V - np.asarray(self.low_V))
        return np.asarray(SINE_FORM_FACTOR * swing * 2.0 * duty * (1.0 - duty))

    @property
    def form_factor(self) -> NDArray[np.float64]:
        """True RMS over rectified mean of the whole wave; nan where the wave is zero throughout."""
        return _ratio(self.rms_V, self.rectified_mean_V)

    @property
    def crest_factor(self) -> NDArray[np.float64]:
        """Peak over true RMS of the whole wave; nan where the wave is zero throughout."""
        return _ratio(np.maximum(np.abs(self.high_V), np.abs(self.low_V)), self.rms_V)


def _ratio(above: NDArray[np.float64], below: NDArray[np.float64]) -> NDArray[np.float64]:
    nothing = np.asarray(below) == 0
    return np.where(nothing, np.nan, above / np.where(nothing, 1.0, below))
