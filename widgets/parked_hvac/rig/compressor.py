"""Drive T1 and compressor M1: whether it turns, what it draws, what stands on its three terminals."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics import drive
from parked_hvac.physics.waveform import PulseTrain
from parked_hvac.rig.parameters import Floats, Parameters

Flags = NDArray[np.bool_]

LEG_DUTY = 0.5
"""Share of the time a switching leg stands at the supply, averaged over a revolution."""
_ENABLE_V = 6.0  # at T1.E
_LOWEST_COMMAND_V = 0.4  # at T1.C
_OPEN_OHM = 1e6
_CASE_SHORT_OHM = 1000.0
_STALLED_W = {"single phase": 130.0, "seized": 210.0}  # what the drive lets through; invented for this course
_SLOWEST_MODULATION = 0.25
_START_SHARE = 0.35  # of the running power that the first turns take


class CompressorDrive:
    """State of drive and compressor; arrays are (B,)."""

    def __init__(self, parameters: Parameters) -> None:
        n = parameters.batch
        self.rpm = np.zeros(n)
        self.driving = np.zeros(n, dtype=bool)
        self.capacitor_V = np.zeros(n)
        self.adopt(parameters)

    def adopt(self, parameters: Parameters) -> None:
        """Take over the figures, as after a repair."""
        self._p = parameters
        self.legs = tuple(parameters[f"drive.leg_{x}"] > 0.5 for x in "uvw")
        self.windings = tuple(
            np.where(
                parameters[f"compressor.phase_{x}_ohm"] < _OPEN_OHM,
                parameters[f"compressor.phase_{x}_ohm"],
                np.inf,
            )
            for x in "uvw"
        )
        whole = [leg & np.isfinite(winding) for leg, winding in zip(self.legs, self.windings, strict=True)]
        self._fed = whole[0].astype(int) + whole[1] + whole[2]
        self._seized = parameters["compressor.seized"] > 0.5
        self._shorted = parameters["compressor.insulation_ohm"] < _CASE_SHORT_OHM
        self.plugged_in = True

    @property
    def can_turn(self) -> Flags:
        """Whether a commanded compressor would turn, (B,)."""
        return np.asarray((self._fed == 3) & ~self._seized & ~self._shorted & self.plugged_in)

    @property
    def over_current(self) -> Flags:
        """Whether the drive trips at once when commanded, (B,)."""
        return np.asarray(self._shorted & self.plugged_in & (self.legs[0] | self.legs[1] | self.legs[2]))

    def settle(self, supply_V: Floats, enable_V: Floats, command_V: Floats) -> Flags:
        """Follow supply, enable and command; in which draws the drive starts or stops driving."""
        driving = (
            (supply_V > self._p["drive.minimum_V"])
            & (enable_V > _ENABLE_V)
            & (command_V > _LOWEST_COMMAND_V)
            & ~self.over_current
        )
        moved: Flags = driving != self.driving
        self.driving = driving
        self.rpm = np.where(driving, self.rpm, 0.0)
        return moved

    def advance(self, command_V: Floats, seconds: float) -> None:
        """Let the speed run up to the command, or stop."""
        p = self._p
        share = np.clip((command_V - 0.5) / 4.0, 0.0, 1.0)
        wanted = p["compressor.minimum_rpm"] + share * (
            p["compressor.maximum_rpm"] - p["compressor.minimum_rpm"]
        )
        goal = np.where(self.driving & self.can_turn, wanted, 0.0)
        most = p["drive.start_ramp_rpm_per_s"] * seconds
        rising = self.rpm + np.clip(goal - self.rpm, -most, most)
        self.rpm = np.where(goal > 0, rising, 0.0)

    def power_W(self, shaft_W: Floats) -> Floats:
        """Power the drive takes from the bank, (B,), for a shaft power of the running compressor."""
        turning = self.rpm > 1.0
        two_legs = self._fed == 2
        stalled = np.where(
            self._seized & (self._fed == 3),
            _STALLED_W["seized"],
            np.where(two_legs, _STALLED_W["single phase"], 0.0),
        )
        start = np.where(
            turning,
            np.maximum(shaft_W, _START_SHARE * 700.0 * self.rpm / self._p["compressor.maximum_rpm"]),
            0.0,
        )
        asked = start / self._p["drive.efficiency"] + np.where(
            self.driving & ~turning & self.plugged_in, stalled, 0.0
        )
        return np.where(self.driving, asked + self._p["drive.idle_W"], 0.0)

    def waveforms(self, supply_V: Floats) -> tuple[PulseTrain, PulseTrain, PulseTrain]:
        """Voltages of T1.U, T1.V, T1.W against T1.− while it drives, physics/drive.py."""
        modulation = np.clip(self.rpm / self._p["compressor.maximum_rpm"], _SLOWEST_MODULATION, 1.0)
        made = drive.DriveParameters(
            carrier_Hz=self._p["drive.frequency_Hz"],
            minimum_voltage_V=self._p["drive.minimum_V"],
            common_duty=LEG_DUTY,
        )
        windings = (
            self.windings if self.plugged_in else tuple(np.full_like(self.rpm, np.inf) for _ in range(3))
        )
        legs = (self.legs[0], self.legs[1], self.legs[2])
        return drive.terminal_waveform(
            np.maximum(supply_V, 0.0),
            made,
            modulation,
            self.driving,
            legs,
            (windings[0], windings[1], windings[2]),
        )

    def advance_capacitor(self, node_V: Floats, seconds: float) -> None:
        """Let the capacitor follow the voltage of its terminals, exactly for a held voltage."""
        time_s = self._p["drive.capacitor_ohm"] * self._p["drive.capacitor_F"]
        self.capacitor_V = self.capacitor_V + (node_V - self.capacitor_V) * -np.expm1(-seconds / time_s)
