"""Drive T1 and compressor M1 as readers see them: speed, and what stands on the three terminals."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics import drive
from parked_hvac.physics.waveform import PulseTrain
from parked_hvac.rig.figures import winding_ohm
from parked_hvac.rig.kernel.branches import LEG_DUTY
from parked_hvac.rig.kernel.load import Load
from parked_hvac.rig.parameters import Floats, Parameters

Flags = NDArray[np.bool_]

_SLOWEST_MODULATION = 0.25


class CompressorDrive:
    """State of drive and compressor; arrays are (B,)."""

    def __init__(self, load: Load, parameters: Parameters) -> None:
        self._load = load
        self.adopt(parameters)

    def adopt(self, parameters: Parameters) -> None:
        """Take over the figures, as after a repair."""
        self._p = parameters
        self._windings = winding_ohm(parameters)

    @property
    def rpm(self) -> Floats:
        """Speed of the compressor."""
        return np.asarray(self._load.states["rpm"])

    @property
    def driving(self) -> Flags:
        """Whether the drive switches its legs."""
        return np.asarray(self._load.states["driving"])

    @property
    def capacitor_V(self) -> Floats:
        """Voltage of the drive's capacitor."""
        return np.asarray(self._load.states["capacitor_V"])

    @property
    def plugged_in(self) -> bool:
        """Whether the plug of the compressor is seated."""
        return bool(self._load.hand["plugged_in"][0])

    @property
    def strains(self) -> Flags:
        """Whether the drive pushes current through a compressor that does not turn."""
        still = self.driving & (self.rpm <= 1.0) & self.plugged_in
        return np.asarray(still & (self._load.figures["stalled_W"] > 0.0))

    def waveforms(self, supply_V: Floats) -> tuple[PulseTrain, PulseTrain, PulseTrain]:
        """Voltages of T1.U, T1.V, T1.W against T1.− while it drives, physics/drive.py."""
        return drive.terminal_waveform(
            np.maximum(supply_V, 0.0),
            self._drive(),
            self._modulation(),
            self.driving,
            self._legs(),
            self._ohm(),
        )

    def line_waveform(self, supply_V: Floats, red: int, black: int) -> PulseTrain:
        """Voltage between two of the three terminals (0 U, 1 V, 2 W) while it drives, physics/drive.py."""
        return drive.line_waveform(
            np.maximum(supply_V, 0.0),
            self._drive(),
            self._modulation(),
            self.driving,
            (red, black),
            self._legs(),
            self._ohm(),
        )

    def _drive(self) -> drive.DriveParameters:
        return drive.DriveParameters(
            carrier_Hz=self._p["drive.frequency_Hz"],
            minimum_voltage_V=self._p["drive.minimum_V"],
            common_duty=LEG_DUTY,
        )

    def _modulation(self) -> Floats:
        return np.clip(self.rpm / self._p["compressor.maximum_rpm"], _SLOWEST_MODULATION, 1.0)

    def _legs(self) -> tuple[Flags, Flags, Flags]:
        legs = self._load.figures["leg"].T > 0.5
        return legs[0], legs[1], legs[2]

    def _ohm(self) -> tuple[Floats, Floats, Floats]:
        u, v, w = self._windings.T if self.plugged_in else np.full_like(self._windings.T, np.inf)
        return u, v, w
