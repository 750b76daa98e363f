"""What sound trucks show at a reading, in the unit and with the digits of a display."""

from __future__ import annotations

import numpy as np

from parked_hvac.diagnosis.prediction import Prediction
from parked_hvac.instruments.outcome import MINUS

FEW = 0.1
"""A word that fewer sound trucks show than this is not what a sound truck shows."""
_PREFIXES = {"M": 1e6, "k": 1e3, "": 1.0, "m": 1e-3}
_PREFIXED = ("V", "Ω", "Hz")


def sound_words(sound: Prediction, display: str) -> str:
    """'12.35 to 12.61 V' for numbers, else the words that sound trucks (1, N) commonly show; ``display`` gives the unit."""
    number = sound.is_number[0]
    if number.any():
        values = sound.values[0][number]
        return _span(float(values.min()), float(values.max()), display)
    words, counts = np.unique(sound.words[0], return_counts=True)
    common = [str(word) for word, count in zip(words, counts, strict=True) if count >= FEW * counts.sum()]
    return " or ".join(f"'{word}'" for word in common)


def _span(low: float, high: float, display: str) -> str:
    digits, prefix, unit = _read(display)
    most = max(abs(low), abs(high))
    if unit in _PREFIXED and most > 0.0:
        fit = next((name for name, scale in _PREFIXES.items() if most >= scale), "m")
        digits, prefix = (digits, prefix) if fit == prefix and digits is not None else (None, fit)
    low, high = low / _PREFIXES[prefix], high / _PREFIXES[prefix]
    if digits is None:
        digits = 0 if most >= 100.0 * _PREFIXES[prefix] else 1 if prefix == "m" else 2
    first, last = _number(low, digits), _number(high, digits)
    return f"{first if first == last else f'{first} to {last}'} {prefix}{unit}".strip()


def _read(display: str) -> tuple[int | None, str, str]:
    """Decimals, prefix and unit of a display's first number: (1, 'm', 'V') of '411.1 mV', (0, '', 'S') of '570 S, 12.80 V'."""
    number, _, unit = display.split(",")[0].rpartition(" ")
    if unit in ("OL", "beep"):
        return None, "", "" if unit == "OL" else "Ω"
    prefix = unit[0] if unit[1:] in _PREFIXED and unit[0] in "mkM" else ""
    digits = len(number.partition(".")[2]) if number else None
    return digits, prefix, unit[len(prefix) :]


def _number(value: float, decimals: int) -> str:
    # A rounded zero keeps no sign.
    return f"{round(value, decimals) + 0.0:.{decimals}f}".replace("-", MINUS)
