"""Runs of the reader's own auxiliary bank at rest and under load: what lesson 02 plots and counts."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from parked_hvac.bench.lessons.reader import own_truck
from parked_hvac.instruments import battery_testers
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.truck import Truck

SOUND = "nothing_wrong"
REST_MINUTES, LOAD_MINUTES = 2, 15
OUTSIDE_C = 36.0
_CHARGE = 0.85
_SETTLING_S = 600.0  # a battery that was pushed by its neighbours needs a while to come to rest by itself


@dataclass(frozen=True)
class LoadRun:
    """The bank before and after the unit starts, one value each half minute."""

    minutes: tuple[float, ...]
    voltage_V: tuple[float, ...]
    rest_V: float
    loaded_V: float
    """After five minutes of load."""
    current_A: float
    """Out of the bank, at the same moment."""

    @property
    def resistance_ohm(self) -> float:
        """Drop over current: what the whole bank has as a source."""
        return (self.rest_V - self.loaded_V) / self.current_A


def parked(fault: str = SOUND, charge: float = _CHARGE, engine_off_h: float = 10.0) -> Truck:
    """The reader's truck in the yard on a hot day, everything off; the curtain open, so that the unit keeps running."""
    conditions = Conditions(
        outside_C=OUTSIDE_C,
        bunk_C=OUTSIDE_C + 3.0,
        aux_charge=charge,
        engine_off_h=engine_off_h,
        curtains="open",
    )
    return Truck(own_truck(fault=fault), conditions)


@lru_cache(maxsize=16)
def load_run(fault: str = SOUND) -> LoadRun:
    """Two minutes of rest, then half an hour of full cold."""
    truck = parked(fault)
    truck.advance(_SETTLING_S)
    minutes, volts, current = [0.0], [bank_V(truck)], 0.0
    loaded = rest = volts[0]
    for half in range(1, 2 * (REST_MINUTES + LOAD_MINUTES) + 1):
        if half == 2 * REST_MINUTES + 1:
            rest = volts[-1]
            ask_to_cool(truck)
        truck.advance(30.0)
        minutes.append(half / 2.0)
        volts.append(bank_V(truck))
        if half == 2 * (REST_MINUTES + 5):
            loaded, current = volts[-1], bank_A(truck)
    return LoadRun(tuple(minutes), tuple(volts), rest, loaded, current)


@lru_cache(maxsize=64)
def resting_V(charge: float, hours: float) -> float:
    """Volts of the reader's auxiliary bank so many hours after the engine stopped, everything off since."""
    return bank_V(parked(charge=charge, engine_off_h=hours))


@lru_cache(maxsize=16)
def four_batteries(fault: str, alone: bool, tool: str) -> tuple[float, ...]:
    """What a tool shows at each auxiliary battery, in the bank or with the negative lugs of the others off.

    tool: 'conductance' in S, or 'load' in V under the load resistor.
    """
    names = [name for name in catalogue().batteries() if name.startswith("G2.")]
    read = battery_testers.conductance if tool == "conductance" else battery_testers.under_load
    truck, shown = parked(fault), []
    truck.advance(_SETTLING_S)
    for name in names:
        if alone:
            truck.part(f"{name}-")
        shown.append(float(read(truck, name).values[0]))
        if alone:
            truck.seat(f"{name}-")
    return tuple(shown)


def ask_to_cool(truck: Truck) -> None:
    """Full cold in parked mode."""
    truck.set_key("on")
    truck.turn_temperature(16.0)
    truck.turn_blower(5)
    truck.press_parked_cooling(True)


def bank_V(truck: Truck) -> float:
    """Volts of the auxiliary bank between its bars."""
    return float(truck.voltage_V("G2+", "G2-")[0])


def bank_A(truck: Truck) -> float:
    """Amperes out of the auxiliary bank, by its two feeds."""
    return float(truck.current_A("W8")[0] + truck.current_A("W9")[0])
