"""Figures of the trucks as the kernel takes them: one record per draw, and one per battery."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics import alternator, battery, cabin, thermistor
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.controller import SENSOR_CURVES
from parked_hvac.rig.harness import PHASES, RELAYS
from parked_hvac.rig.kernel.records import CELL, FIGURE, SINGLE, column
from parked_hvac.rig.parameters import Floats, Parameters

Records = NDArray[np.void]

_ENGINE_SPEED = 0.6  # fast idle as a share of cruise; invented for this course
_OPEN_OHM = 1e6
_CASE_SHORT_OHM = 1000.0
_SINGLE_PHASE_W, _SEIZED_W = 130.0, 210.0  # what the drive lets through to a motor that stands
_FAN_STANDBY_A, _FAN_STALLED_W = 0.02, 12.0


def figures(p: Parameters, outside_C: float) -> Records:
    """One record per draw, (B,)."""
    made = np.zeros(p.batch, dtype=FIGURE)
    for name in SINGLE:
        made[column(name)] = p[name]
    made["sun_on_air_share"] = next(
        field.default for field in fields(cabin.CabinParameters) if field.name == "sun_on_air_share"
    )
    _add_alternator(made, p, outside_C)
    whole = p["fan.motor_open"] < 0.5
    made["fan_power_W"] = np.where(whole, p["fan.rated_W"], 0.0)
    made["fan_standby_A"] = np.where(whole, _FAN_STANDBY_A, 0.0)
    made["fan_stalled_W"] = np.where(whole, _FAN_STALLED_W, 0.0)
    made["fan_health"] = np.where(whole & (p["fan.seized"] < 0.5), 1.0, 0.0)
    _add_compressor(made, p)
    for i, relay in enumerate(RELAYS):
        made["relay_contact_ohm"][:, i] = p[f"relay.{relay}.contact_ohm"]
        made["relay_coil_ohm"][:, i] = catalogue().relays[relay].coil_ohm
        made["relay_welded"][:, i] = p[f"relay_{relay}.welded"]
    for step in range(1, 6):
        made["step_ohm"][:, step] = p[f"blower.step_{step}_ohm"]
    for i, (sensor, name) in enumerate(SENSOR_CURVES.items()):
        for figure in ("shift_K", "series_ohm", "short_ohm"):
            made[f"sensor_{figure}"][:, i] = p[f"sensor.{sensor}.{figure}"]
        curve = thermistor.curve(name)
        made["curve_a"][:, i], made["curve_b"][:, i], made["curve_c"][:, i] = curve.a, curve.b, curve.c
    return made


def _add_alternator(made: Records, p: Parameters, outside_C: float) -> None:
    turned = alternator.AlternatorParameters(
        setpoint_V=p["alternator.setpoint_V"],
        max_current_A=p["alternator.max_current_A"],
        slope_V_per_K=p["alternator.slope_V_per_K"],
        idle_fraction=p["alternator.idle_fraction"],
        regulator_resistance_ohm=p["alternator.regulator_ohm"],
        slip_factor=p["alternator.slip_factor"],
        output_factor=p["alternator.output_factor"],
    )
    made["alternator_held_V"] = alternator.setpoint_V(turned, outside_C)
    made["alternator_available_A"] = alternator.available_current_A(turned, _ENGINE_SPEED)


def _add_compressor(made: Records, p: Parameters) -> None:
    legs = np.stack([p[f"drive.leg_{phase.lower()}"] > 0.5 for phase in PHASES], axis=1)
    fed = legs & (winding_ohm(p) < np.inf)
    seized = p["compressor.seized"] > 0.5
    shorted = p["compressor.insulation_ohm"] < _CASE_SHORT_OHM
    made["leg"] = legs
    made["can_turn"] = fed.all(axis=1) & ~seized & ~shorted
    made["over_current"] = shorted & legs.any(axis=1)
    made["stalled_W"] = np.where(
        seized & fed.all(axis=1),
        _SEIZED_W,
        np.where(fed.sum(axis=1) == 2, _SINGLE_PHASE_W, 0.0),
    )


def winding_ohm(p: Parameters) -> Floats:
    """Resistance of the three windings, (B, 3); inf for an open one."""
    ohm = np.stack([p[f"compressor.phase_{phase.lower()}_ohm"] for phase in PHASES], axis=1)
    return np.where(ohm < _OPEN_OHM, ohm, np.inf)


def set_cells(cells: Records, p: Parameters) -> None:
    """Give the batteries (B, batteries) the figures of ``p``; their state stays."""
    place = 0
    for bank in catalogue().banks.values():
        chemistry: battery.Chemistry = "agm" if bank.chemistry == "agm" else "flooded"
        empty, span = battery.acid_range(chemistry)
        for _ in range(bank.batteries):
            name = catalogue().batteries()[place]
            own = battery.typical(chemistry, p[f"{name}.capacity_Ah"])
            values: dict[str, Any] = {key: value for key, value in vars(own).items() if key != "chemistry"}
            for figure in ("resistance_ohm", "resistance_factor", "capacity_factor", "shorted_cells"):
                values[figure] = p[f"{name}.{figure}"]
            for key, value in {**values, "acid_empty": empty, "acid_span": span}.items():
                cells[key][:, place] = value
            place += 1


def cells(p: Parameters) -> Records:
    """A record per battery, (B, batteries), with figures and an empty state."""
    made = np.zeros((p.batch, len(catalogue().batteries())), dtype=CELL)
    set_cells(made, p)
    return made
