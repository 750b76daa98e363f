"""The way of the power from the auxiliary bank to the blower, as a circuit of its own for lesson 04."""

from __future__ import annotations

from dataclasses import dataclass

from parked_hvac.circuit import CurrentSource, Network, Resistor, VoltageSource
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.harness import fixed_conductance_S, harness
from parked_hvac.rig.parameters import Parameters

BANK_V = 12.6
AIR_C = 25.0

WAY = (
    ("G2+", "X3", "G2+lug"),
    ("X3", "F2.1", "W9"),
    ("F2.1", "F2.2", "F2"),
    ("F2.2", "X10.2", "W11"),
    ("X10.2", "X11.2", "X10.2"),
    ("X11.2", "K1.30", "W33"),
    ("K1.30", "K1.87", "K1"),
    ("K1.87", "X20", "W46"),
    ("X20", "K3.30", "W53"),
    ("K3.30", "K3.87", "K3"),
    ("K3.87", "X21", "W54"),
    ("X21", "F11.1", "W55"),
    ("F11.1", "F11.2", "F11"),
    ("F11.2", "M2.+", "X35"),
    ("M2.-", "X22", "W62"),
    ("X22", "X11.4", "W32"),
    ("X11.4", "X10.4", "X10.4"),
    ("X10.4", "W14.2", "W14"),
    ("W14.2", "X4", "X4lug"),
    ("X4", "X0", "W17"),
    ("X0", "W7.2", "X0W7"),
    ("W7.2", "W7.1", "W7"),
    ("W7.1", "G2-", "G2-lug"),
)
"""From, to, and the part between: there by the parked feed, back by ground."""

SHOWN = ("G2+", "F2.1", "F2.2", "X11.2", "K1.30", "K1.87", "K3.87", "F11.2", "M2.+")
"""Points of the plot: one on each side of what can go bad."""


@dataclass(frozen=True)
class Feed:
    """The feed carrying a current: voltages against the bank's negative post."""

    current_A: float
    voltages: dict[str, float]

    def drop_V(self, red: str, black: str) -> float:
        """What a meter shows with its leads on two points of the way."""
        return self.voltages[red] - self.voltages[black]


def part_ohm(parameters: Parameters, part: str) -> float:
    """Resistance of one part of the way on this truck, in ohms."""
    if part in catalogue().relays:
        return float(parameters[f"relay.{part}.contact_ohm"][0])
    row = harness().row[part]
    return float(1.0 / fixed_conductance_S(parameters, AIR_C)[row, 0])


def feed(parameters: Parameters, current_A: float, extra_ohm: dict[str, float] | None = None) -> Feed:
    """Solve the way with a steady current drawn by the blower; ``extra_ohm`` makes parts worse."""
    made = Network(ground="G2-")
    made.add(VoltageSource("bank", "G2+", "G2-", voltage_V=BANK_V))
    added = extra_ohm or {}
    for start, end, part in WAY:
        ohm = part_ohm(parameters, part) + added.get(part, 0.0)
        made.add(Resistor(f"{start} {end}", start, end, resistance_ohm=ohm))
    made.add(CurrentSource("blower", "M2.+", "M2.-", current_A=current_A))
    solved = made.solve()
    points = {point for start, end, _ in WAY for point in (start, end)}
    return Feed(
        current_A, {point: solved.voltage_V(point, "G2-") for point in points - {"G2-"}} | {"G2-": 0.0}
    )
