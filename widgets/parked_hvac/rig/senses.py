"""What eyes, hands, ears and a contact thermometer tell about the truck, as words of a fixed set."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.harness import harness
from parked_hvac.rig.parameters import Floats
from parked_hvac.tables import DataError, nearest

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck

Words = NDArray[np.str_]

_CORRODED_OHM = 0.003  # above it a lug shows green or white crust to the eye; common practice, no source

LOOK: dict[str, dict[str, str]] = {
    "start_bank": {"lugs at G1": "G1+lug G1-lug X0W1"},
    "aux_bank": {"lugs at G2": "G2+lug G2-lug X0W7"},
    "feed_panel": {"stud X1": "X1lug"},
    "engine_bay": {"engine strap": "straplug"},
    "unit_outside": {"ground stud X4": "X4lug", "pins of X10": "X10.1 X10.2 X10.3 X10.4"},
}
"""Location → what is looked at → contacts that show crust there."""

POINTS = (
    "vent air",
    "bunk air",
    "outside air",
    "evaporator",
    "compressor body",
    "liquid line",
    "suction line",
    "lug W7.1",
    "lug W14.2",
    "holder F1",
    "pin X10.1",
    "relay K1",
    "plug X35",
)
"""Where the contact thermometer can be held."""

_HEATED = {
    "lug W7.1": ("G2-lug",),
    "lug W14.2": ("X4lug",),
    "holder F1": ("F1",),
    "pin X10.1": ("X10.1",),
    "relay K1": ("contact K1",),
    "plug X35": ("X35",),
}
_GLOWS_A = (
    0.2  # a tenth of the reading lamp's rated current gives no light to speak of; invented for this course
)
_K_PER_W = 4.0  # a joint's rise over the air; invented for this course


def temperature_C(truck: Truck, point: str) -> Floats:
    """Temperature of a point in °C, (B,). DataError names the nearest point."""
    climate = truck.climate
    outside = climate.outside_C
    running = truck.compressor.rpm > 1.0
    cold = np.minimum(climate.surface_C + 3.0, climate.bunk_C)
    places: dict[str, Floats] = {
        "vent air": climate.air_off_C,
        "bunk air": climate.bunk_C,
        "outside air": outside,
        "evaporator": climate.surface_C,
        "compressor body": climate.compressor_C,
        # Subcooled a little, but given off to the outside air it never gets colder than that.
        "liquid line": np.where(running, np.maximum(climate.condensing_C - 5.0, outside), outside),
        "suction line": np.where(running, cold, climate.bunk_C),
    }
    if point in places:
        return places[point]
    if point not in _HEATED:
        raise DataError(f"The thermometer has no point {point!r}; {nearest(point, POINTS)}")
    heat = np.zeros(truck.batch)
    for branch in _HEATED[point]:
        current = truck.current_A(branch)
        conductance = truck.now.conductance_S[harness().row[branch]]
        heat = heat + np.where(conductance > 0, np.square(current) / np.maximum(conductance, 1e-12), 0.0)
    return outside + np.minimum(_K_PER_W * heat, 180.0)


def at(truck: Truck, location: str) -> dict[str, Words]:
    """Everything a location tells, thing → word per draw (B,). DataError names the nearest location."""
    if location not in catalogue().locations:
        raise DataError(f"No location is called {location!r}; {nearest(location, catalogue().locations)}")
    told: dict[str, Words] = {}
    for thing, contacts in LOOK.get(location, {}).items():
        crusted = np.zeros(truck.batch, dtype=bool)
        for contact in contacts.split():
            ohm = truck.parameters[f"contact.{contact}.resistance_ohm"]
            crusted |= ohm > _CORRODED_OHM
        told[thing] = np.where(crusted, "crust", "clean")
    told.update(_more(truck, location))
    return told


def _more(truck: Truck, location: str) -> dict[str, Words]:
    climate, p = truck.climate, truck.parameters
    blower, fan = truck.blower_fraction, truck.fan_fraction
    turning = truck.compressor.rpm > 1.0
    if location == "bunk":
        flow = blower * _open_share(truck)
        colder = climate.bunk_C - climate.air_off_C
        return {
            "air from the vent": _steps(flow, (0.05, 0.3, 0.62), ("none", "weak", "fair", "strong")),
            "feel of the air": np.where(
                flow < 0.05,
                "still",
                _steps(colder, (1.5, 6.0, 10.0), ("not cold", "cool", "cold", "very cold")),
            ),
            "panel lamp": np.where(truck.panel_alive, "lit", "dark"),
            "reading lamp": np.where(np.abs(truck.current_A("E1 lamp")) > _GLOWS_A, "lit", "dark"),
            "curtain": np.full(truck.batch, truck.conditions.curtains),
            "water under the unit": np.where(climate.spilled, "wet", "dry"),
        }
    if location == "cab":
        lamp = truck.now.voltage_V("H1.1", "H1.2") > 6.0
        return {"isolator lamp": np.where(lamp, "lit", "dark")}
    if location == "engine_bay":
        slips = (p["alternator.slip_factor"] < 0.5) & (truck.controls.key == "engine")
        return {"belt sound": np.where(slips, "squeals", "quiet")}
    if location == "feed_panel":
        return {"isolator contacts sound": np.where(truck.isolator.closed, "pulled in", "at rest")}
    if location == "unit_outside":
        return {
            "condenser fan": _steps(fan, (0.05, 0.55), ("stands", "turns slowly", "turns fast")),
            "air through the condenser": np.where(
                fan < 0.05, "none", np.where(p["condenser.blockage"] > 0.5, "weak", "good")
            ),
            "condenser face": np.where(p["condenser.blockage"] > 0.5, "matted with dirt", "clean"),
            "compressor sound": _compressor_sound(truck, turning),
            "drain": np.where(
                p["drain.plugged"] > 0.5, "no drip", np.where(climate.water_kg > 0.01, "drips", "no drip")
            ),
        }
    if location == "unit_opened":
        return {
            "evaporator": _steps(
                climate.ice_kg / p["unit.ice_full_kg"], (0.05, 0.5), ("free", "frosted", "iced over")
            ),
            "compressor sound": _compressor_sound(truck, turning),
            "blower sound": np.where(
                blower < 0.02, "stands", np.where(p["blower.friction_Nm"] > 0.05, "grinds", "even")
            ),
            "drain pan": np.where(climate.water_kg > 0.1, "full of water", "draining"),
            "oil at the fittings": np.where(p["refrigerant.charge_fraction"] < 0.7, "oily spot", "dry"),
            "harness": np.where(p["harness.chafe_ohm"] < 1e3, "chafed", "whole"),
            "plug X35": np.where(p["contact.X35.resistance_ohm"] > 0.1, "browned", "clean"),
        }
    return {}


def _open_share(truck: Truck) -> Floats:
    closed = np.clip(truck.climate.ice_kg / truck.parameters["unit.ice_full_kg"], 0.0, 1.0)
    return 0.03 + 0.97 * (1.0 - closed**1.5)


def _compressor_sound(truck: Truck, turning: NDArray[np.bool_]) -> Words:
    strains = truck.compressor.strains
    return np.where(turning, "runs", np.where(strains, "hums and jerks", "silent"))


def _steps(values: Floats, limits: tuple[float, ...], words: tuple[str, ...]) -> Words:
    return np.asarray(words)[np.digitize(values, limits)]
