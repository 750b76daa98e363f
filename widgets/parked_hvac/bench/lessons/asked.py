"""The reader's own truck, parked and asked for full cold, as lessons 08 to 10 watch it."""

from __future__ import annotations

from functools import lru_cache

from parked_hvac.bench.lessons.reader import own_truck
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.truck import Truck

SUMMER_NIGHT = Conditions(outside_C=31.0, bunk_C=31.0, sun_hour=22.0, aux_charge=0.95, occupants=1)


def asked_to_cool(
    fault: str = "nothing_wrong",
    seconds: float = 90.0,
    conditions: Conditions = SUMMER_NIGHT,
    parted: tuple[str, ...] = (),
    set_C: float = 16.0,
) -> Truck:
    """The reader's truck so many seconds after parked cooling was asked for; ``parted`` connectors stay apart.

    Kept, since a lesson looks at the same truck more than once: read it, change nothing.
    """
    return _run(fault, seconds, conditions, parted, set_C)


def switched_on(
    fault: str = "nothing_wrong",
    conditions: Conditions = SUMMER_NIGHT,
    parted: tuple[str, ...] = (),
    set_C: float = 16.0,
) -> Truck:
    """The same at the moment of asking, to be advanced by the caller."""
    truck = Truck(own_truck(fault=fault), conditions)
    for connector in parted:
        truck.part(connector)
    truck.set_key("on")
    truck.turn_temperature(set_C)
    truck.turn_blower(5)
    truck.press_parked_cooling(True)
    return truck


@lru_cache(maxsize=32)
def _run(fault: str, seconds: float, conditions: Conditions, parted: tuple[str, ...], set_C: float) -> Truck:
    truck = switched_on(fault, conditions, parted, set_C)
    truck.advance(seconds)
    return truck
