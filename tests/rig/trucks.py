"""Trucks for the tests: sound ones, and ones with a fault of middling severity."""

from __future__ import annotations

import numpy as np

from parked_hvac.rig import parameters
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.faults import apply_fault
from parked_hvac.rig.truck import Truck


def truck(*faults: str, place: float = 0.9, severity: float = 0.5, **conditions: object) -> Truck:
    """One truck as drawn, with the given faults."""
    figures = parameters.nominal()
    for fault in faults:
        apply_fault(figures, fault, np.array([severity]), np.array([place]))
    return Truck(figures, Conditions(**conditions))  # type: ignore[arg-type]


def side_by_side(faults: list[str], **conditions: object) -> Truck:
    """One truck per fault, as one batch."""
    made = []
    for fault in faults:
        figures = parameters.nominal()
        apply_fault(figures, fault, np.array([0.5]), np.array([0.9]))
        made.append(figures)
    return Truck(parameters.join(made), Conditions(**conditions))  # type: ignore[arg-type]


def cool(made: Truck, seconds: float = 120.0) -> Truck:
    """Ask for full cold in parked mode and wait."""
    made.turn_blower(4)
    made.turn_temperature(16.0)
    made.press_parked_cooling(True)
    made.advance(seconds)
    return made


def drive(made: Truck, seconds: float = 120.0) -> Truck:
    """Let the engine run with the unit off."""
    made.turn_blower(0)
    made.set_key("engine")
    made.advance(seconds)
    return made


def volts(made: Truck, red: str, black: str = "X0") -> float:
    """Voltage of a single truck."""
    return float(made.voltage_V(red, black)[0])
