"""The bunk on a hot day, cooled by the reader's own truck: what lesson 01 plots and counts."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from parked_hvac.bench.lessons.reader import own_truck
from parked_hvac.physics import cabin, sun
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.truck import Truck

COLDEST_C, FASTEST = 16.0, 5
MINUTES = 60
HOUR = 15.0
"""Of the day: the sun stands on the truck."""
PROMISE_MINUTE, PROMISE_K = 10, 10.0
"""Line 'cold_air' of data/rig/spec-sheet.toml: ten minutes after start, 10 °C below the bunk air."""


@dataclass(frozen=True)
class Afternoon:
    """An hour of cooling, one value a minute."""

    minutes: tuple[float, ...]
    bunk_C: tuple[float, ...]
    vent_C: tuple[float, ...]
    cooling_W: float
    """Heat that the unit takes out at the end."""
    curtain_W: float
    """Heat that comes back through the curtain at the end."""

    def below_K(self, minute: int) -> float:
        """How far the vent is below the bunk."""
        return self.bunk_C[minute] - self.vent_C[minute]


@lru_cache(maxsize=16)
def afternoon(outside_C: float, curtains: str, dirt: float = 0.0) -> Afternoon:
    """Full cold for an hour from three in the afternoon; curtains 'open' or 'closed'; dirt: share of the condenser that it blocks."""
    conditions = Conditions(
        outside_C=outside_C,
        relative_humidity=0.35,
        sun_hour=HOUR,
        bunk_C=outside_C + 3.0,
        engine_off_h=1.0,
        curtains=curtains,
    )
    figures = own_truck()
    if dirt:
        figures.set("condenser.blockage", np.array([dirt]))
    truck = Truck(figures, conditions)
    truck.set_key("on")
    truck.turn_temperature(COLDEST_C)
    truck.turn_blower(FASTEST)
    truck.press_parked_cooling(True)
    bunk, vent = [_at(truck, "bunk air")], [_at(truck, "vent air")]
    for _ in range(MINUTES):
        truck.advance(60.0)
        bunk.append(_at(truck, "bunk air"))
        vent.append(_at(truck, "vent air"))
    return Afternoon(
        tuple(float(minute) for minute in range(MINUTES + 1)),
        tuple(bunk),
        tuple(vent),
        float(truck.climate.cooling_W[0]),
        _curtain_W(truck, outside_C) if curtains == "open" else 0.0,
    )


def _at(truck: Truck, point: str) -> float:
    return float(truck.temperature_C(point)[0])


def _curtain_W(truck: Truck, outside_C: float) -> float:
    """Air exchanged with the hot cab in front, by the same figures as rig/climate.py."""
    figures = truck.parameters
    sunshine = min(float(sun.clear_sky(HOUR + MINUTES / 60.0).level_W_per_m2) / 900.0, 1.2)
    cab_C = outside_C + float(figures["cabin.greenhouse_K"][0]) * sunshine
    flow = float(figures["cabin.curtain_open_m3_per_s"][0])
    return float(cabin.air_stream_W_per_K(flow, cab_C)) * (cab_C - _at(truck, "bunk air"))
