"""A rig so small that everything can be enumerated: one battery, two joints, a fuse, one load.

Invented for these tests. E --R_battery-- a --joint 1-- b --fuse-- c --joint 2-- d --load-- ground.
Readings: voltage of a, b, c, d to ground with the load on or off, to 0.01 V; 'OL' of an ohmmeter over the fuse.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parked_hvac.diagnosis.prediction import Observed, Prediction, foretelling

Floats = NDArray[np.float64]
FAULTS = ("nothing", "battery_weak", "joint_1_corroded", "joint_2_corroded", "fuse_blown")
PRIOR = np.array([0.3, 0.2, 0.2, 0.15, 0.15])
CHECKS = ("a_off", "a_on", "b_on", "c_on", "d_on", "fuse_ohms")
RESOLUTION_V = 0.01
SOURCE_V, SOURCE_SIGMA_V = 12.6, 0.1


@dataclass(frozen=True)
class Trucks:
    """Draws of the small rig: open-circuit voltage and resistances, each of the same shape."""

    source_V: Floats
    battery_ohm: Floats
    joint_1_ohm: Floats
    joint_2_ohm: Floats
    load_ohm: Floats
    fuse_blown: NDArray[np.bool_]

    def shows(self, check: str) -> tuple[Floats, NDArray[np.str_]]:
        """Values (nan for a word) and words of one check."""
        words = np.full(self.source_V.shape, "", dtype="<U4")
        if check == "fuse_ohms":
            words = np.where(self.fuse_blown, "OL", "ok")
            return np.full(self.source_V.shape, np.nan), words
        return np.round(self.source_V * self.share(check) / RESOLUTION_V) * RESOLUTION_V, words

    def share(self, check: str) -> Floats:
        """Share of the open-circuit voltage that a check of voltage shows, before rounding."""
        point, state = check.split("_")
        closed = (state == "on") & ~self.fuse_blown
        total = self.battery_ohm + self.joint_1_ohm + self.joint_2_ohm + self.load_ohm
        current = np.where(closed, 1.0 / total, 0.0)
        before = {"a": self.battery_ohm, "b": self.battery_ohm + self.joint_1_ohm}
        before["c"] = before["b"]
        before["d"] = before["b"] + self.joint_2_ohm
        share = 1.0 - current * before[point]
        return np.where(self.fuse_blown, 0.0, share) if point in ("c", "d") else share


def draw(fault: str, count: int, generator: np.random.Generator) -> Trucks:
    """``count`` trucks with one fault."""
    source = SOURCE_V + SOURCE_SIGMA_V * generator.standard_normal(count)
    battery = 0.02 * np.exp(0.2 * generator.standard_normal(count))
    joint_1 = 0.002 * np.exp(0.3 * generator.standard_normal(count))
    joint_2 = 0.002 * np.exp(0.3 * generator.standard_normal(count))
    load = 0.6 * np.exp(0.05 * generator.standard_normal(count))
    severity = generator.random(count)
    if fault == "battery_weak":
        battery = battery * (2.0 + 4.0 * severity)
    if fault == "joint_1_corroded":
        joint_1 = 0.01 * 8.0**severity
    if fault == "joint_2_corroded":
        joint_2 = 0.01 * 8.0**severity
    return Trucks(source, battery, joint_1, joint_2, load, np.full(count, fault == "fuse_blown"))


def predict(trucks: list[Trucks], check: str) -> Prediction:
    """What the draws of all faults show for one check."""
    shown = [truck.shows(check) for truck in trucks]
    values = np.stack([value for value, _ in shown])
    words = np.stack([word for _, word in shown])
    sigma = np.where(words == "", RESOLUTION_V / np.sqrt(12.0), np.nan)
    return foretelling(values, words, sigma)


def observe(truck: Trucks, check: str) -> Observed:
    """What the first of some trucks shows for one check."""
    value, word = truck.shows(check)
    return Observed(float(value[0]), str(word[0]))
