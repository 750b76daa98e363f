"""Unit controller K0: what it sees at its pins, what it decides, what it puts on its outputs.

It knows only voltages at its own terminals. A sensor that lies, a supply that sags and a switch that is open
reach it through the wiring, as on a truck.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import msgspec
import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics import thermistor
from parked_hvac.places import data_dir
from parked_hvac.rig.parameters import Floats, Parameters
from parked_hvac.tables import read_table

Flags = NDArray[np.bool_]

SENSOR_CURVES = {"B1": "5k", "B2": "5k", "B3": "10k"}
_PLAUSIBLE_C = (-40.0, 85.0)
_FALLBACK_C = {"B1": 3.0, "B2": 30.0, "B3": 35.0}
_PRESSURE_PAUSE_S = 180.0
_NO_TURN_S = 5.0
_COLDEST_OUTSIDE_C = 5.0
_FULL_DEMAND_K = 1.5  # above the wanted temperature the compressor runs at full speed


class Code(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A code the controller can store."""

    spn: int
    fmi: int
    text: str


@cache
def codes() -> dict[str, Code]:
    """All codes by id, from data/rig/codes.toml."""
    return read_table(data_dir() / "rig" / "codes.toml", dict[str, Code])


@dataclass
class Pins:
    """Voltages that reach the controller, each (B,), against its own ground."""

    supply_V: Floats
    sensor_V: dict[str, Floats]
    switch_V: Floats
    asked: Flags
    blower_step: int
    set_temperature_C: Floats
    turning: Flags
    over_current: Flags
    condensing_C: Floats


class Controller:
    """State of K0; arrays are (B,)."""

    def __init__(self, parameters: Parameters) -> None:
        n = parameters.batch
        off = np.zeros(n, dtype=bool)
        self.adopt(parameters)
        self.alive = off.copy()
        self.cooling = off.copy()  # wants the compressor to run
        self.running = off.copy()  # asked for by the panel and awake
        self.speed_V = np.zeros(n)
        self.fan_V = np.zeros(n)
        self.door_V = np.zeros(n)
        self.temperature_C = {name: np.full(n, np.nan) for name in SENSOR_CURVES}
        self.counts = {name: np.zeros(n, dtype=np.int64) for name in codes()}
        self._active = {name: off.copy() for name in codes()}
        self._boot_s = np.zeros(n)
        self._low_s = np.zeros(n)
        self._good_s = np.zeros(n)
        self._still_s = np.zeros(n)
        self._pause_s = np.zeros(n)
        self.cut_out = off.copy()
        self.locked = off.copy()
        self._stops = np.zeros(n, dtype=np.int64)
        self._frozen = off.copy()
        self._thermostat = off.copy()

    def adopt(self, parameters: Parameters) -> None:
        """Take over the figures, as after a repair."""
        self._p = parameters

    def settle(self, supply_V: Floats) -> Flags:
        """Wake or die with the supply; in which draws that changed."""
        alive = (supply_V > self._p["controller.minimum_V"]) & (self._p["controller.dead"] < 0.5)
        moved: Flags = alive != self.alive
        dies = self.alive & ~alive
        self._boot_s = np.where(dies, 0.0, self._boot_s)
        for flag in (self.running, self.cooling, self.cut_out, self.locked, self._frozen, self._thermostat):
            flag[dies] = False
        for timer in (
            self._low_s,
            self._good_s,
            self._still_s,
            self._pause_s,
            self.speed_V,
            self.fan_V,
            self.door_V,
        ):
            timer[dies] = 0.0
        self._stops[dies] = 0
        for active in self._active.values():
            active[dies] = False
        self.alive = alive
        return moved

    def advance(self, pins: Pins, seconds: float) -> int:
        """Decide after a step with these pins; in how many draws an on/off decision changed."""
        p = self._p
        before = (self.running.copy(), self.cooling.copy())
        self._boot_s = np.where(self.alive, self._boot_s + seconds, 0.0)
        awake = self.alive & (self._boot_s >= p["controller.boot_s"] - 1e-9)
        self.running = awake & pins.asked & (pins.blower_step > 0)
        self._read_sensors(pins, awake)
        self._watch_supply(pins, seconds)
        self._watch_drive(pins, seconds)
        hot_S1 = pins.switch_V > 1.5
        self._set("thermal_switch", self.running & hot_S1)
        over = self.running & (pins.condensing_C > p["controller.high_pressure_C"])
        self._pause_s = np.where(over, _PRESSURE_PAUSE_S, np.maximum(self._pause_s - seconds, 0.0))
        self._set("high_pressure", over | (self.running & (self._pause_s > 0)))
        evaporator, bunk, outside = (self.temperature_C[name] for name in ("B1", "B2", "B3"))
        self._frozen = np.where(
            self._frozen,
            evaporator < p["controller.evaporator_high_C"],
            evaporator < p["controller.evaporator_low_C"],
        )
        warm = bunk - pins.set_temperature_C
        self._thermostat = np.where(self._thermostat, warm > -0.5, warm > 0.5)
        ready = ~self.cut_out & ~self.locked & ~hot_S1 & (self._pause_s <= 0) & ~self._frozen
        self.cooling = self.running & ready & self._thermostat & (outside > _COLDEST_OUTSIDE_C)
        demand = np.clip(warm / _FULL_DEMAND_K, 0.0, 1.0)
        gives = p["controller.no_drive_command"] < 0.5
        self.speed_V = np.where(self.cooling & gives, 0.5 + 4.0 * demand, 0.0)
        fans = self.running & (p["controller.no_fan_command"] < 0.5) & (self.cooling | (self._pause_s > 0))
        share = np.clip((outside - 12.0) / 18.0, 0.15, 1.0)
        self.fan_V = np.where(
            fans, p["fan.start_command_V"] + 0.15 + share * (4.5 - p["fan.start_command_V"] - 0.15), 0.0
        )
        self.door_V = np.where(self.running, 0.5, 0.0)
        return int(((before[0] != self.running) | (before[1] != self.cooling)).sum())

    def next_event_s(self) -> Floats:
        """Seconds until a running delay ends, inf where none runs; (B,)."""
        p = self._p
        boot = np.where(
            self.alive & (self._boot_s < p["controller.boot_s"]),
            p["controller.boot_s"] - self._boot_s,
            np.inf,
        )
        low = np.where(self._low_s > 0, p["controller.cut_out_delay_s"] - self._low_s, np.inf)
        good = np.where(
            (self._good_s > 0) & self.cut_out, p["controller.restart_delay_s"] - self._good_s, np.inf
        )
        pause = np.where(self._pause_s > 0, self._pause_s, np.inf)
        return np.minimum(np.minimum(boot, low), np.minimum(good, pause))

    def stored(self, draw: int) -> list[tuple[Code, int]]:
        """Codes of one draw with their occurrence counts."""
        return [
            (code, int(self.counts[name][draw]))
            for name, code in codes().items()
            if self.counts[name][draw] > 0
        ]

    def _read_sensors(self, pins: Pins, awake: Flags) -> None:
        p = self._p
        for name, title in (("B1", "evaporator"), ("B2", "bunk"), ("B3", "outside")):
            share = np.clip(pins.sensor_V[name] / p["controller.reference_V"], 1e-6, 1.0 - 1e-6)
            resistance = p["controller.pull_up_ohm"] * share / (1.0 - share)
            seen = thermistor.curve(SENSOR_CURVES[name]).temperature_C(resistance)
            too_cold, too_hot = seen < _PLAUSIBLE_C[0], seen > _PLAUSIBLE_C[1]
            self._set(f"{title}_high", awake & too_cold)
            self._set(f"{title}_low", awake & too_hot)
            believed = np.where(too_cold | too_hot, _FALLBACK_C[name], seen)
            self.temperature_C[name] = np.where(awake, believed, np.nan)

    def _watch_supply(self, pins: Pins, seconds: float) -> None:
        p = self._p
        low = self.running & (pins.supply_V < p["controller.cut_out_V"])
        self._low_s = np.where(low & ~self.cut_out, self._low_s + seconds, 0.0)
        stops = self._low_s >= p["controller.cut_out_delay_s"] - 1e-9
        self._stops = np.where(stops, self._stops + 1, self._stops)
        self._set("low_voltage", stops, pulse=True)
        self._low_s = np.where(stops, 0.0, self._low_s)
        good = self.cut_out & (pins.supply_V > p["controller.restart_V"])
        self._good_s = np.where(good, self._good_s + seconds, 0.0)
        restarts = self._good_s >= p["controller.restart_delay_s"] - 1e-9
        self.cut_out = (self.cut_out | stops) & ~restarts & self.running
        self.locked = (self.locked | (self._stops >= p["controller.lockout_starts"])) & self.running
        self._stops = np.where(self.running, self._stops, 0)

    def _watch_drive(self, pins: Pins, seconds: float) -> None:
        commanded = self.cooling & (self.speed_V > 0)
        still = commanded & ~pins.turning
        self._still_s = np.where(still, self._still_s + seconds, 0.0)
        self._set("drive_no_turn", self._still_s >= _NO_TURN_S)
        self._set("drive_over_current", commanded & pins.over_current)

    def _set(self, name: str, active: Flags, pulse: bool = False) -> None:
        """Count a code each time it becomes active."""
        rises = active & ~self._active[name]
        self.counts[name] = np.minimum(self.counts[name] + rises, 126)
        self._active[name] = np.zeros_like(active) if pulse else active.copy()
