"""The truck's wiring as a list of branches, and the conductance of each at this moment."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from parked_hvac.circuit.reduction import Reduction
from parked_hvac.physics import wire
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.parameters import Floats, Parameters

GROUND = "X0"
"""The frame stud is the reference of every voltage."""

PORTS = ("T1.+", "T1.-", "M2.+", "M2.-", "M3.+", "M3.-", "G3+", "X2")
"""Nodes where loads that are not resistors sit: drive, blower, condenser fan, alternator."""

RELAYS = ("K1", "K2", "K3", "K4")
PHASES = ("U", "V", "W")

_SWITCHED: dict[str, tuple[str, str]] = {
    "isolator contacts": ("Q1.1", "Q1.2"),
    "isolator coil": ("Q1.S", "Q1.G"),
    "isolator status": ("Q1.S", "Q1.L"),
    "run contact": ("F6.2", "S3.2"),
    "panel output": ("P1.+", "P1.K"),
    "driver K3": ("K0.3", "K0.-"),
    "driver K4": ("K0.4", "K0.-"),
    "blower steps": ("F11.2", "R1.2"),
    "harness chafe": ("F11.2", "X22"),
    "B1": ("B1.1", "B1.2"),
    "B2": ("B2.1", "B2.2"),
    "B3": ("B3.1", "B3.2"),
    "S1": ("S1.1", "S1.2"),
    "truck load": ("X1", GROUND),
    "leg U high": ("T1.+", "T1.U"),
    "leg V high": ("T1.+", "T1.V"),
    "leg W high": ("T1.+", "T1.W"),
    "leg U low": ("T1.U", "T1.-"),
    "leg V low": ("T1.V", "T1.-"),
    "leg W low": ("T1.W", "T1.-"),
}
"""Branches whose resistance changes while the truck works; their values come from the truck."""

_SOURCES: dict[str, tuple[str, str]] = {
    "ref B1": ("K0.B1", "K0.-"),
    "ref B2": ("K0.B2", "K0.-"),
    "ref B3": ("K0.B3", "K0.-"),
    "ref S1": ("K0.S", "K0.-"),
    "drive command": ("K0.D", "K0.-"),
    "fan command": ("K0.C", "K0.-"),
    "door command": ("K0.A", "K0.-"),
    "door position": ("M4.2", "X22"),
    "link high": ("K0.H", "K0.-"),
    "link low": ("K0.L", "K0.-"),
    "drive capacitor": ("T1.+", "T1.-"),
}
"""Sources behind a resistance: positive node first."""


@dataclass(frozen=True)
class Harness:
    """Names, ends and order of all branches; one for every truck."""

    names: tuple[str, ...]
    ends: tuple[tuple[str, str], ...]
    row: dict[str, int]
    plan: Reduction
    nodes: tuple[str, ...]


@cache
def harness() -> Harness:
    """The branches of the training truck and the order in which its nodes are folded away."""
    made = catalogue()
    branches: dict[str, tuple[str, str]] = {}
    for table in (made.cables, made.contacts, made.fuses, made.resistors):
        for name, record in table.items():
            branches[_unique(name, branches)] = (record.start, record.end)
    for name in made.relays:
        branches[f"contact {name}"] = (f"{name}.30", f"{name}.87")
        branches[f"coil {name}"] = (f"{name}.86", f"{name}.85")
    branches |= _SWITCHED | _SOURCES
    for battery in made.batteries():
        branches[battery] = (f"{battery}+", f"{battery}-")
    for phase in PHASES:
        branches[f"winding {phase}"] = (f"M1.{phase}", "M1.N")
    branches["insulation"] = ("M1.N", "M1.C")
    ends = tuple(branches.values())
    plan = Reduction.plan(ends, PORTS, GROUND)
    nodes = dict.fromkeys(node for pair in ends for node in pair)
    return Harness(tuple(branches), ends, {name: i for i, name in enumerate(branches)}, plan, tuple(nodes))


def _unique(name: str, taken: dict[str, tuple[str, str]]) -> str:
    # A lug may bear the name of the post it sits on; the battery itself comes later under that name.
    if name in taken:
        raise ValueError(f"Two parts of the wiring are called {name!r}; rename one in data/rig/wiring.toml.")
    return name


def fixed_conductance_S(parameters: Parameters, temperature_C: float) -> Floats:
    """Conductance of every branch that does not change while the truck works; (branches, B), 0 elsewhere.

    Cables by length, cross-section and temperature (physics/wire.py) plus what a break adds.
    """
    layout = harness()
    made = catalogue()
    table = np.zeros((len(layout.names), parameters.batch))

    def put(branch: str, resistance_ohm: Floats) -> None:
        table[layout.row[branch]] = 1.0 / resistance_ohm

    length_m, area_mm2 = (
        np.array([parameters[f"cable.{name}.{figure}"] for name in made.cables])
        for figure in ("length_m", "area_mm2")
    )
    copper = wire.resistance_ohm(length_m, area_mm2, temperature_C)
    for name, copper_ohm in zip(made.cables, copper, strict=True):
        put(name, copper_ohm + parameters[f"cable.{name}.break_ohm"])
    for name in made.contacts:
        put(name, parameters[f"contact.{name}.resistance_ohm"])
    for name in made.fuses:
        put(name, parameters[f"fuse.{name}.resistance_ohm"] + parameters[f"fuse.{name}.holder_ohm"])
    for name in made.resistors:
        put(name, parameters[f"resistor.{name}.resistance_ohm"])
    for name in made.relays:
        put(f"coil {name}", parameters[f"relay.{name}.coil_ohm"])
    for phase in PHASES:
        put(f"winding {phase}", parameters[f"compressor.phase_{phase.lower()}_ohm"])
    put("insulation", parameters["compressor.insulation_ohm"])
    put("harness chafe", parameters["harness.chafe_ohm"])
    return table


def switched(closed: NDArray[np.bool_], resistance_ohm: Floats) -> Floats:
    """Conductance of a contact: of its resistance where closed, 0 where open; (B,)."""
    return np.where(closed, 1.0 / resistance_ohm, 0.0)
