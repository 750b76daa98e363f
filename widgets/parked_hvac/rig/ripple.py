"""The alternating part of the voltage between two terminals: the drive's switched legs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from parked_hvac.physics import drive
from parked_hvac.physics.waveform import PulseTrain
from parked_hvac.rig.harness import PHASES

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck


def waveform(truck: Truck, red: str, black: str) -> PulseTrain | None:
    """The pulse-width-modulated voltage between two terminals; None where nothing switches."""
    ripples = [_ripple(truck, terminal) for terminal in (red, black)]
    if ripples[0] is None and ripples[1] is None:
        return None
    if ripples[0] is not None and ripples[1] is not None:
        made = drive.DriveParameters(
            carrier_Hz=truck.parameters["drive.frequency_Hz"],
            minimum_voltage_V=truck.parameters["drive.minimum_V"],
        )
        modulation = np.clip(truck.compressor.rpm / truck.parameters["compressor.maximum_rpm"], 0.25, 1.0)
        return drive.line_waveform(
            truck.now.voltage_V("T1.+", "T1.-"), made, modulation, truck.compressor.driving
        )
    one = ripples[0] if ripples[0] is not None else ripples[1]
    assert one is not None
    away = black if ripples[0] is not None else red
    shift = truck.now.voltage_V("T1.-", away)
    low, high = np.asarray(one.low_V) + shift, np.asarray(one.high_V) + shift
    if ripples[0] is None:
        low, high = -high, -low
        return PulseTrain(low, high, 1.0 - np.asarray(one.duty), one.frequency_Hz)
    return PulseTrain(low, high, one.duty, one.frequency_Hz)


def _ripple(truck: Truck, terminal: str) -> PulseTrain | None:
    side, _, phase = terminal.partition(".")
    if phase not in PHASES or side not in ("T1", "M1") or not truck.compressor.driving.any():
        return None
    if side == "M1" and not truck.compressor.plugged_in:
        return None
    waves = truck.compressor.waveforms(truck.now.voltage_V("T1.+", "T1.-"))
    return waves[PHASES.index(phase)]
