"""Two ways to ask a battery: a small current for its conductance, a large one for its strength.

Both work through the posts, so whatever else is joined to them answers too: a battery still in its bank
reads as the bank does, as on a truck.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from parked_hvac.instruments.outcome import Outcome, numbers, shown, sigma, to_step
from parked_hvac.instruments.specification import tools

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck


def conductance(truck: Truck, battery: str) -> Outcome:
    """Conductance in siemens between a battery's posts; the display adds their voltage at rest."""
    own = tools().battery_tester
    red, black = posts(battery)
    standing_V = truck.voltage_V(red, black)
    test_A = own.test_current_A.value
    drop_V = standing_V - truck.probe(red, black, conductance_S=0.0, current_A=-test_A)
    infinite = drop_V * own.full_scale_S.value <= test_A
    found_S = np.where(infinite, 0.0, test_A / np.where(infinite, 1.0, drop_V))
    step = np.full(found_S.shape, own.resolution_S.value)
    values = np.where(infinite, np.nan, to_step(found_S, step))
    limit = found_S * own.percent.value / 100.0 + own.absolute_S.value

    def text(draw: int) -> str:
        strength = "OL" if infinite[draw] else shown(values[draw], step[draw], "S")
        return f"{strength}, {shown(standing_V[draw], 0.01, 'V')}"

    return Outcome(values, np.where(infinite, "OL", ""), "S", step, sigma(limit, step), text)


def under_load(truck: Truck, battery: str) -> Outcome:
    """Volts between a battery's posts with the load resistor on them, at once.

    The slow part of the sag, over the seconds a person would hold the load, is left out.
    """
    own = tools().load_tester
    red, black = posts(battery)
    volts = truck.probe(red, black, conductance_S=1.0 / own.load_ohm.value)
    limit = np.abs(volts) * own.percent.value / 100.0 + own.absolute_V.value
    return numbers(volts, own.resolution_V.value, limit, "V")


def posts(battery: str) -> tuple[str, str]:
    """Names of the positive and the negative post of a battery."""
    return f"{battery}+", f"{battery}-"
