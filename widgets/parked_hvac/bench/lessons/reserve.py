"""How long the auxiliary bank of a truck gives a steady current, by the physics of its batteries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics import battery
from parked_hvac.rig.parameters import Parameters, figure

Floats = NDArray[np.float64]

BATTERIES = ("G2.1", "G2.2", "G2.3", "G2.4")
LONGEST_H = 24.0
_STEP_S = 600.0


def aged(truck: Parameters, capacity: float = 0.6, resistance: float = 2.0) -> Parameters:
    """The same truck with an auxiliary bank that kept a share of its capacity; its resistance rose by a factor."""
    old = truck.copy()
    for name in BATTERIES:
        old.set(f"{name}.capacity_factor", truck[f"{name}.capacity_factor"] * capacity)
        old.set(f"{name}.resistance_factor", truck[f"{name}.resistance_factor"] * resistance)
    return old


def hours(
    truck: Parameters, currents_A: Sequence[float], way_ohm: float, charge: float, temperature_C: float = 30.0
) -> Floats:
    """Hours until the controller's low-voltage limit for each steady current in A, at most a day.

    ``way_ohm``: what the way from the bank to the controller loses per ampere; ``charge``: share of its own
    capacity that is in the bank at the beginning.
    """
    current = np.asarray(currents_A, dtype=np.float64)
    p = _batteries(truck)
    state = _rested(truck, charge, temperature_C, current.size)
    limit_V = float(truck["controller.cut_out_V"][0])
    found, left = np.full(current.size, LONGEST_H), np.arange(current.size)
    elapsed_s = 0.0
    while elapsed_s <= LONGEST_H * 3600.0 and left.size:
        emf_V, ohm = battery.emf_V(state, p), battery.ohmic_ohm(state, p)
        posts_V, given_A = _shared(emf_V, ohm, current)
        low = posts_V - current * way_ohm < limit_V
        found[left[low]] = elapsed_s / 3600.0
        # What each gives through the step, as its voltage answers: one that is charged by the others would swing else.
        _, mean_A = _shared(emf_V, ohm + battery.swing_ohm(state, p, given_A, _STEP_S), current)
        state = battery.advance(state, p, mean_A, _STEP_S)
        elapsed_s += _STEP_S
        if low.any():
            left, current, state = left[~low], current[~low], _those(state, ~low)
    return found


def _shared(emf_V: Floats, ohm: Floats, current_A: Floats) -> tuple[Floats, Floats]:
    """Voltage at the posts of a bank that gives a current, and what each battery gives of it by voltage and resistance."""
    posts_V = ((emf_V / ohm).sum(axis=0) - current_A) / (1.0 / ohm).sum(axis=0)
    return posts_V, (emf_V - posts_V) / ohm


def _those(state: battery.BatteryState, kept: NDArray[np.bool_]) -> battery.BatteryState:
    """Only some of the columns."""
    columns = {name: value[:, kept] for name, value in vars(state).items() if np.ndim(value)}
    return replace(state, **columns)


def _batteries(truck: Parameters) -> battery.BatteryParameters:
    """The four batteries as columns (4, 1), for as many currents as one likes."""

    def column(field: str) -> Floats:
        return np.stack([truck[f"{name}.{field}"] for name in BATTERIES])

    return replace(
        battery.typical("agm", column("capacity_Ah")),
        resistance_ohm=column("resistance_ohm"),
        resistance_factor=column("resistance_factor"),
        capacity_factor=column("capacity_factor"),
        shorted_cells=column("shorted_cells"),
    )


def _rested(truck: Parameters, charge: float, temperature_C: float, many: int) -> battery.BatteryState:
    """As the truck comes in: each battery's own difference from the rest, no surface charge left."""
    shift = charge - figure("G2.1.state_of_charge").value
    own = np.stack([truck[f"{name}.state_of_charge"] for name in BATTERIES]) + shift
    start = np.clip(own, 0.03, 1.0) + np.zeros((len(BATTERIES), many))
    return battery.BatteryState(state_of_charge=start, temperature_C=temperature_C)
