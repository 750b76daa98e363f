"""The energy budget of a night: what warms the bunk, what the unit draws for it, how long the bank lasts.

A budget on paper: everything steady, the bunk's air half saturated. The rig's own night beside it shows what
that leaves out. Functions of the physics and figures of the reader's truck, no others.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from parked_hvac.bench.lessons import reserve
from parked_hvac.bench.lessons.asked import asked_to_cool, switched_on
from parked_hvac.bench.lessons.reader import own_truck
from parked_hvac.physics import air, cabin, unit
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.parameters import Parameters
from parked_hvac.rig.truck import Truck

Floats = NDArray[np.float64]

HUMIDITY = 0.5


@dataclass(frozen=True)
class Night:
    """What the driver asks for, and the weather."""

    outside_C: float = 32.0
    set_C: float = 20.0
    curtains: str = "closed"
    occupants: int = 1
    blower_step: int = 3
    charge: float = 0.92
    """Share of the bank's own capacity that is in it when the night begins."""

    def conditions(self) -> Conditions:
        """The same for the rig: ten at night, the bunk a degree warmer than the air outside."""
        return Conditions(
            outside_C=self.outside_C, bunk_C=self.outside_C + 1.0, sun_hour=22.0, relative_humidity=HUMIDITY,
            aux_charge=self.charge, curtains=self.curtains, occupants=self.occupants,
        )  # fmt: skip


@dataclass(frozen=True)
class Budget:
    """Heat in W, currents in A at the bank, hours; ``bunk_C`` is what the bunk comes to."""

    bunk_C: float
    heat_W: dict[str, float]
    current_A: dict[str, float]

    @property
    def total_W(self) -> float:
        """Heat that the unit has to carry out, without the water in the air."""
        return sum(self.heat_W.values())

    @property
    def total_A(self) -> float:
        """Mean current out of the auxiliary bank."""
        return sum(self.current_A.values())


@lru_cache(maxsize=256)
def budget(night: Night) -> Budget:
    """What a steady night takes on the reader's own truck."""
    p, running = own_truck(), _running(night.blower_step)
    flow = float(running.blower_fraction[0] * p["unit.evaporator_flow_m3_per_s"][0])
    # An array, so that one solve gives all speeds, or all temperatures of the bunk.
    rpm = np.linspace(float(p["compressor.minimum_rpm"][0]), float(p["compressor.maximum_rpm"][0]), 12)
    at_set = _circuit(p, rpm, night.outside_C, np.full(rpm.size, night.set_C), flow)
    need = sum(_heat_W(p, night, night.set_C).values())
    given = np.asarray(at_set.sensible_W)
    bunk = night.set_C
    if need <= 0.0:
        share, shaft = 0.0, 0.0
    elif need <= given[0]:
        share, shaft = need / given[0], float(at_set.compressor_shaft_W[0])
    elif need <= given[-1]:
        share, shaft = 1.0, float(np.interp(need, given, at_set.compressor_shaft_W))
    else:
        warm = np.linspace(night.set_C, night.outside_C + 8.0, 24)
        full = _circuit(p, np.full(warm.size, rpm[-1]), night.outside_C, warm, flow)
        lacking = np.array([sum(_heat_W(p, night, float(w)).values()) for w in warm]) - np.asarray(
            full.sensible_W
        )
        bunk = float(np.interp(0.0, -lacking, warm))
        share, shaft = 1.0, float(np.interp(bunk, warm, full.compressor_shaft_W))
    volts = 12.2  # of a bank at work; the current follows from it by a few per cent
    fan_share = float(np.clip((night.outside_C - 12.0) / 18.0, 0.15, 1.0))
    drive_W = share * (shaft / float(p["drive.efficiency"][0]) + float(p["drive.idle_W"][0]))
    blower_A = float(running.current_A("W62")[0])
    return Budget(
        bunk_C=bunk,
        heat_W=_heat_W(p, night, bunk),
        current_A={
            "compressor": drive_W / volts,
            "condenser fan": share * float(p["fan.rated_W"][0]) * fan_share**3 / volts,
            "blower": blower_A,
            "relays and electronics": _rest_A(running),
        },
    )


def hours(truck: Parameters, currents_A: Sequence[float], charge: float, outside_C: float = 30.0) -> Floats:
    """How long the bank of a truck gives each current, the reader's own wiring behind it; reserve.hours."""
    return reserve.hours(truck, currents_A, _way_ohm(), charge, outside_C)


def _heat_W(p: Parameters, night: Night, bunk_C: float) -> dict[str, float]:
    warmer_K = night.outside_C - bunk_C
    inner, skin = float(p["cabin.air_to_mass_W_per_K"][0]), float(p["cabin.mass_to_outside_W_per_K"][0])
    walls = float(p["cabin.air_to_outside_W_per_K"][0]) + inner * skin / (inner + skin)
    ratio = air.humidity_ratio(night.outside_C, HUMIDITY)
    opened = float(p["cabin.curtain_open_m3_per_s"][0]) if night.curtains == "open" else 0.0
    leak = float(p["cabin.leak_m3_per_s"][0])
    per_K = {
        name: float(cabin.air_stream_W_per_K(m3, night.outside_C, ratio))
        for name, m3 in (("leak", leak), ("open", opened))
    }
    return {
        "windows and walls": walls * warmer_K,
        "air that leaks in": per_K["leak"] * warmer_K,
        "open curtain": per_K["open"] * warmer_K,
        "people": float(np.asarray(cabin.people(night.occupants, bunk_C).sensible_W)),
    }


def _circuit(p: Parameters, rpm: Floats, outside_C: float, bunk_C: Floats, flow: float) -> unit.Balance:
    built = unit.CircuitParameters(
        displacement_m3=p["compressor.displacement_m3"],
        **{
            f.name: p[f"unit.{f.name}"] for f in fields(unit.CircuitParameters) if f.name != "displacement_m3"
        },
    )
    fan = float(np.clip((outside_C - 12.0) / 18.0, 0.15, 1.0))
    ratio = air.humidity_ratio(bunk_C, HUMIDITY)
    return unit.balance(built, rpm, 1.0, fan, p["condenser.blockage"], outside_C, flow, 0.0, bunk_C, ratio)


@lru_cache(maxsize=6)
def _running(blower_step: int) -> Truck:
    """The reader's truck a quarter of a minute after it was asked to cool at a blower step."""
    truck = switched_on()
    truck.turn_blower(blower_step)
    truck.advance(15.0)
    return truck


def _rest_A(running: Truck) -> float:
    parts = ("W8", "W62", "W64")  # drive, blower, condenser fan
    return float(running.current_A("W14")[0] - sum(running.current_A(name)[0] for name in parts))


def _way_ohm() -> float:
    """What the way from the bank to the controller loses, per ampere out of the bank."""
    running = asked_to_cool()
    lost_V = running.voltage_V("G2+", "G2-") - running.voltage_V("K0.+", "K0.-")
    return float((lost_V / running.current_A("W14"))[0])
