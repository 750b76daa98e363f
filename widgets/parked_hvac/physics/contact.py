"""Contacts: lugs, pins, fuse holders and relay contacts as a resistance in series.

No published standard gives the resistance of a corroded contact; the figures are parameters of the
fault (common practice, no source), and the physics here is only how they show.

Laws: drop I·R, heat I²·R, rise = heat · thermal resistance; clean resistance over the share of spots that touch.
Source: R. Holm, Electric Contacts (1967), many parallel spots; Ohm and Joule.
Limits: steady direct current, a resistance that does not change with current, heat or vibration (a real film may break
down above some tenths of a volt); no arc.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = float | NDArray[np.float64]


def resistance_ohm(
    clean_ohm: Floats, touching_fraction: Floats = 1.0, film_ohm: Floats = 0.0
) -> NDArray[np.float64]:
    """Resistance in Ω of a contact: the clean one, on the share of its area that still touches, plus a film.

    Spots that touch conduct side by side, so half the area has twice the resistance (Holm, Electric
    Contacts, 1967, many parallel spots). Raises ValueError for a share outside 0 (excluded) to 1.
    """
    touching = np.asarray(touching_fraction, dtype=np.float64)
    if not (np.all(touching > 0) and np.all(touching <= 1)):
        raise ValueError(
            f"A contact touches on a share of its area above 0 and up to 1, not {touching.min()}: "
            "for a contact that does not touch at all, open the circuit instead."
        )
    return np.asarray(np.asarray(clean_ohm, dtype=np.float64) / touching + film_ohm)


def voltage_drop_V(resistance_ohm: Floats, current_A: Floats) -> NDArray[np.float64]:
    """Drop in V across a contact: none without current, whatever the corrosion (Ohm's law)."""
    return np.asarray(np.multiply(resistance_ohm, current_A), dtype=np.float64)


def heat_W(resistance_ohm: Floats, current_A: Floats) -> NDArray[np.float64]:
    """Heat in W made in a contact, I²·R (Joule)."""
    return np.asarray(np.multiply(resistance_ohm, np.square(current_A)), dtype=np.float64)


def temperature_rise_K(heat_W: Floats, thermal_resistance_K_per_W: Floats) -> NDArray[np.float64]:
    """How much warmer than its surroundings a contact gets when it has made ``heat_W`` for long."""
    return np.asarray(np.multiply(heat_W, thermal_resistance_K_per_W), dtype=np.float64)
