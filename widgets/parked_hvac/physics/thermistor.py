"""Thermistors: resistance by temperature from published tables, and how slowly a sensor follows.

Laws: Steinhart-Hart, fitted to each published table by least squares; the bead follows its surroundings as a first-order lag.
Sources: J. S. Steinhart and S. R. Hart, Deep-Sea Research 15 (1968) 497-503; tables in data/physics with their own sources.
Limits: within 0.1 °C of its table over its range (10 kΩ −55 to 300 °C, 5 kΩ −40 to 125 °C), beyond it the curve goes on
unchecked; no self-heating by the measuring current (below a milliwatt here), no drift.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import msgspec
import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics.each import each
from parked_hvac.physics.scalar import thermistor as law
from parked_hvac.physics.scalar.thermistor import KELVIN_AT_0C
from parked_hvac.places import data_dir

Floats = float | NDArray[np.float64]

_REFINEMENTS = 8  # Gauss-Newton steps; the linear start is within 1e-3 K already


@dataclass(frozen=True)
class SteinhartHart:
    """1/T = A + B·ln R + C·(ln R)³ with T in K and R in Ω (Steinhart & Hart, Deep-Sea Research 15, 1968)."""

    a: Floats
    b: Floats
    c: Floats

    def temperature_C(self, resistance_ohm: Floats) -> NDArray[np.float64]:
        """Temperature in °C at a resistance in Ω, any shape; 0 Ω reads hottest, an open circuit coldest."""
        return np.asarray(each(law.temperature_C, resistance_ohm, self.a, self.b, self.c))

    def resistance_ohm(self, temperature_C: Floats) -> NDArray[np.float64]:
        """Resistance in Ω at a temperature in °C, any shape: the cubic in ln R solved by Cardano's form."""
        return np.asarray(each(law.resistance_ohm, temperature_C, self.a, self.b, self.c))


def fit_steinhart_hart(temperatures_C: Floats, resistances_ohm: Floats) -> SteinhartHart:
    """Curve through temperatures in °C and resistances in Ω by least squares of the temperature error.

    Raises ValueError for fewer than three points, lists of unequal length, a resistance that is not
    positive, or a table that does not fall as an NTC thermistor's does.
    """
    kelvin = np.asarray(temperatures_C, dtype=np.float64).ravel() + KELVIN_AT_0C
    ohm = np.asarray(resistances_ohm, dtype=np.float64).ravel()
    if kelvin.size != ohm.size or kelvin.size < 3:
        raise ValueError(
            f"A curve needs three points or more, each with both values, not {kelvin.size} temperatures and "
            f"{ohm.size} resistances: add points of the published table."
        )
    if not np.all((ohm > 0) & np.isfinite(ohm)):
        raise ValueError(f"A thermistor cannot have {ohm.min()} Ω: correct that point of the table.")
    if not np.all(np.diff(ohm[np.argsort(kelvin)]) < 0):
        raise ValueError(
            "The resistance must fall at every higher temperature: look for a misprint in the table."
        )
    log = np.log(ohm)
    terms = np.stack([np.ones_like(log), log, log**3], axis=1)
    scale = np.abs(terms).max(axis=0)  # the three columns differ by a thousandfold
    columns = terms / scale
    weight = np.square(kelvin)
    factors = np.linalg.lstsq(columns * weight[:, None], weight / kelvin, rcond=None)[0]
    for _ in range(_REFINEMENTS):
        fitted = 1.0 / (columns @ factors)
        slope = -np.square(fitted)[:, None] * columns
        factors = factors + np.linalg.lstsq(slope, kelvin - fitted, rcond=None)[0]
    a, b, c = factors / scale
    if not (b > 0 and c > 0):
        raise ValueError(
            f"These points give B = {b:.3g} and C = {c:.3g}, which no thermistor has: use points that lie "
            "wider apart, or look for a misprint in the table."
        )
    return SteinhartHart(float(a), float(b), float(c))


class Table(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A published table of resistance by temperature, as it stands in data/physics/."""

    title: str
    source: str
    how: str
    nominal_ohm: float
    unit: str
    points: list[tuple[float, float]]


@cache
def table(name: str) -> Table:
    """Table ``data/physics/thermistor-<name>.json``.

    Raises FileNotFoundError that names the tables there are, and msgspec.ValidationError for a damaged one.
    """
    folder = data_dir() / "physics"
    path = folder / f"thermistor-{name}.json"
    if not path.is_file():
        known = sorted(found.stem.removeprefix("thermistor-") for found in folder.glob("thermistor-*.json"))
        raise FileNotFoundError(f"No thermistor table '{name}' in {folder}: use one of {', '.join(known)}.")
    return msgspec.json.decode(path.read_bytes(), type=Table)


@cache
def curve(name: str) -> SteinhartHart:
    """Curve fitted to the table of that name, in Ω of the sensor of its nominal resistance."""
    of = table(name)
    temperatures_C, values = np.array(of.points).T
    return fit_steinhart_hart(temperatures_C, values * (of.nominal_ohm if of.unit == "R/R25" else 1.0))


def follow(
    temperature_C: Floats, target_C: Floats, time_constant_s: Floats, seconds: Floats
) -> NDArray[np.float64]:
    """Temperature in °C of a sensor after some seconds beside a target: first order, exact for any step."""
    return np.asarray(each(law.follow, temperature_C, target_C, time_constant_s, seconds))
