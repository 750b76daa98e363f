"""How a truck comes in: every draw's records as the work order's conditions make them."""

from __future__ import annotations

from functools import cache

import numpy as np

from parked_hvac.physics import air, refrigerant_tables, sun
from parked_hvac.rig import figures
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.harness import harness
from parked_hvac.rig.kernel.load import Floats, Load
from parked_hvac.rig.kernel.records import HAND, STATE
from parked_hvac.rig.kernel.wiring import nodes
from parked_hvac.rig.parameters import Parameters, figure

_FULL_V = 0.95  # surface charge in V of a sound battery as the engine stops; bleeds off by physics/battery.py
_LOWEST_CHARGE = 0.03


def load_of(parameters: Parameters, conditions: Conditions, step_scale: float) -> Load:
    """All that the kernel needs of these trucks, nothing solved yet; ``step_scale`` as for ``Truck``."""
    batch = parameters.batch
    load = Load(
        states=np.zeros(batch, dtype=STATE),
        figures=figures.figures(parameters, conditions.outside_C),
        cells=figures.cells(parameters),
        hand=np.zeros(1, dtype=HAND),
        siemens=np.zeros((batch, len(harness().names))),
        source_V=np.zeros((batch, len(harness().names))),
        volts=np.zeros((batch, len(nodes()))),
        sun_W_per_m2=_sun_W_per_m2(),
        coefficients=np.array(refrigerant_tables.coefficients()),
        probed_V=np.zeros(batch),
        pushed_A=np.zeros(batch),
    )
    load.hand["step_scale"] = step_scale
    _set_air(load, conditions)
    _set_batteries(load, parameters, conditions)
    states = load.states
    states["relay_closed"] = load.figures["relay_welded"] > 0.5
    states["isolator_closed"] = load.figures["isolator_stuck_closed"] > 0.5
    states["seen_C"] = np.nan
    return load


def _set_air(load: Load, conditions: Conditions) -> None:
    hand, states = load.hand, load.states
    outside_ratio = air.humidity_ratio(conditions.outside_C, conditions.relative_humidity)
    hand["outside_C"], hand["outside_ratio"] = conditions.outside_C, outside_ratio
    hand["occupants"] = conditions.occupants
    hand["curtain_open"] = 1.0 if conditions.curtains == "open" else 0.0
    hand["engine_off_s"] = conditions.engine_off_h * 3600.0
    states["hour"] = conditions.sun_hour
    states["humidity_ratio"] = outside_ratio
    for name in ("bunk_C", "mass_C", "surface_C", "air_off_C", "vent_target_C"):
        states[name] = conditions.bunk_C
    states["condensing_C"] = min(conditions.bunk_C, conditions.outside_C)
    states["compressor_C"] = conditions.outside_C
    states["sensor_C"] = (conditions.bunk_C, conditions.bunk_C, conditions.outside_C)


def _set_batteries(load: Load, parameters: Parameters, conditions: Conditions) -> None:
    """Charge and surface charge as the engine stopped; the kernel lets them rest since then."""
    cells = load.cells
    for place, name in enumerate(catalogue().batteries()):
        bank = name.partition(".")[0]
        wanted = conditions.aux_charge if bank == "G2" else conditions.start_charge
        shift = wanted - figure(f"{bank}.1.state_of_charge").value
        charge = np.clip(parameters[f"{name}.state_of_charge"] + shift, _LOWEST_CHARGE, 1.0)
        cells["state_of_charge"][:, place] = charge
        cells["surface_V"][:, place] = _FULL_V * charge
        cells["planted_V"][:, place] = parameters[f"{name}.surface_V"]
    cells["temperature_C"] = conditions.outside_C


@cache
def _sun_W_per_m2() -> Floats:
    """Clear sky on level ground for each minute of the clock, (1441,)."""
    return np.asarray(sun.clear_sky(np.arange(1441) / 60.0).level_W_per_m2)
