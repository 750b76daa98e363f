"""The alternating part of the voltage between two terminals: the drive's switched legs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from parked_hvac.physics.waveform import PulseTrain
from parked_hvac.rig.harness import PHASES

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck


def waveform(truck: Truck, red: str, black: str) -> PulseTrain | None:
    """The pulse-width-modulated voltage between two terminals; None where nothing switches."""
    legs = [_leg(truck, terminal) for terminal in (red, black)]
    if not truck.compressor.driving.any():
        return None
    supply_V = truck.now.voltage_V("T1.+", "T1.-")
    if legs[0] is not None and legs[1] is not None:
        return truck.compressor.line_waveform(supply_V, legs[0], legs[1])
    leg = legs[0] if legs[0] is not None else legs[1]
    if leg is None:
        return None
    one = truck.compressor.waveforms(supply_V)[leg]
    shift = truck.now.voltage_V("T1.-", black if legs[0] is not None else red)
    low, high = np.asarray(one.low_V) + shift, np.asarray(one.high_V) + shift
    if legs[0] is None:
        return PulseTrain(-high, -low, 1.0 - np.asarray(one.duty), one.frequency_Hz)
    return PulseTrain(low, high, one.duty, one.frequency_Hz)


def _leg(truck: Truck, terminal: str) -> int | None:
    """Number of the drive's leg that a terminal hangs on, None for another terminal."""
    side, _, phase = terminal.partition(".")
    if phase not in PHASES or side not in ("T1", "M1"):
        return None
    if side == "M1" and not truck.compressor.plugged_in:
        return None
    return PHASES.index(phase)
