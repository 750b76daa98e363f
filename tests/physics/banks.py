"""Circuits around batteries, small enough to solve by hand."""

from __future__ import annotations

import numpy as np

from parked_hvac.physics import battery
from parked_hvac.physics.battery import BatteryParameters, BatteryState


def discharge(
    state: BatteryState,
    p: BatteryParameters,
    current_A: np.ndarray | float,
    cut_off_V: float = 10.5,
    step_s: np.ndarray | float = 10.0,
) -> np.ndarray:
    """Charge in Ah that each battery gives at its steady current until its terminals reach the cut-off."""
    current = np.asarray(current_A, dtype=np.float64)
    given_Ah = np.zeros_like(current)
    going = np.ones_like(current, dtype=bool)
    for _ in range(100_000):
        # One that has reached the cut-off stays out, though its voltage may come back.
        going = going & (battery.emf_V(state, p) - current * battery.ohmic_ohm(state, p) > cut_off_V)
        if not going.any():
            return given_Ah
        given_Ah = given_Ah + np.where(going, current * step_s / 3600.0, 0.0)
        state = battery.advance(state, p, current, step_s)
    raise AssertionError("the discharge does not end")


def charge(
    state: BatteryState,
    p: BatteryParameters,
    voltage_V: float,
    hours: float,
    lead_ohm: float = 0.002,
    most_A: float = 50.0,
    step_s: float = 10.0,
) -> tuple[BatteryState, np.ndarray]:
    """State after charging from a regulated supply, and the mean current taken in each step, positive into it."""
    taken = []
    for _ in range(round(hours * 3600.0 / step_s)):
        over_V, ohm = voltage_V - battery.emf_V(state, p), battery.ohmic_ohm(state, p) + lead_ohm
        begun = np.minimum(over_V / ohm, most_A)
        current = np.minimum(over_V / (ohm + battery.swing_ohm(state, p, -begun, step_s)), most_A)
        taken.append(current)
        state = battery.advance(state, p, -current, step_s)
    return state, np.array(taken)


def parallel(
    state: BatteryState, p: BatteryParameters, load_A: float, step_s: float = 0.0
) -> tuple[np.ndarray, np.ndarray]:
    """Voltage of a bank of batteries (first axis) side by side under a load, and what each gives in a step to come."""
    emf, resistance = battery.emf_V(state, p), battery.ohmic_ohm(state, p)
    if step_s > 0.0:
        _, begun = parallel(state, p, load_A)
        resistance = resistance + battery.swing_ohm(state, p, begun, step_s)
    voltage = (np.sum(emf / resistance, axis=0) - load_A) / np.sum(1 / resistance, axis=0)
    return voltage, (emf - voltage) / resistance
