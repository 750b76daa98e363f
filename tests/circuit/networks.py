"""Random networks to try laws and comparisons on; invented, and the same for the same seed."""

from __future__ import annotations

import numpy as np

from parked_hvac.circuit import (
    ConstantPower,
    CurrentSource,
    Diode,
    Element,
    Network,
    Resistor,
    Switch,
    VoltageSource,
)


def linear(seed: int, least_ohm: float = 1e-3, most_ohm: float = 1e5) -> Network:
    """Resistors, contacts and both kinds of sources; each node hangs on ground by a resistor or a source."""
    rng = np.random.default_rng(seed)
    nodes = ["0", *(f"n{number}" for number in range(int(rng.integers(3, 12))))]
    elements: list[Element] = []
    for number in range(1, len(nodes)):
        # A tree of sources and resistors has no loop of sources; what is added later holds none.
        below = nodes[int(rng.integers(0, number))]
        if number == 1 or rng.random() < 0.3:
            elements.append(VoltageSource(f"E{number}", nodes[number], below, rng.uniform(-30, 30)))
        else:
            elements.append(Resistor(f"R{number}", nodes[number], below, _log(rng, least_ohm, most_ohm)))
    for number in range(int(rng.integers(2, 8))):
        a, b = _two(rng, nodes)
        kind = rng.random()
        if kind < 0.2:
            elements.append(CurrentSource(f"I{number}", a, b, rng.uniform(-10, 10)))
        elif kind < 0.4:
            elements.append(Switch(f"S{number}", a, b, closed=bool(rng.random() < 0.5)))
        else:
            elements.append(Resistor(f"Q{number}", a, b, _log(rng, least_ohm, most_ohm)))
    return Network().add(*elements)


def with_diodes(seed: int) -> Network:
    """Sources behind resistors, and diodes in all directions; each node has a resistor to ground."""
    rng = np.random.default_rng(seed)
    nodes = [f"n{number}" for number in range(int(rng.integers(2, 7)))]
    elements: list[Element] = []
    for number, node in enumerate(nodes):
        elements.append(Resistor(f"R{number}", node, "0", _log(rng, 1.0, 1e4)))
        if number == 0 or rng.random() < 0.4:
            elements.append(VoltageSource(f"E{number}", f"e{number}", "0", rng.uniform(-30, 30)))
            elements.append(Resistor(f"S{number}", f"e{number}", node, _log(rng, 0.01, 1e3)))
    for number in range(int(rng.integers(2, 7))):
        a, b = _two(rng, [*nodes, "0"])
        saturation, emission, heat = _log(rng, 1e-15, 1e-10), rng.uniform(1, 2), rng.uniform(-20, 90)
        elements.append(Diode(f"D{number}", a, b, saturation, emission, heat))
    return Network().add(*elements)


def with_loads(seed: int) -> Network:
    """Batteries feeding loads of constant power through cables.

    The batteries stay above the minimum of the loads and the cables drop little, or they stay below it, so
    that there is one solution only and two programs cannot rightly differ.
    """
    rng = np.random.default_rng(seed)
    brown_out = rng.random() < 0.25
    emf_V = rng.uniform(6.0, 7.5) if brown_out else rng.uniform(12.0, 13.5)
    elements: list[Element] = []
    nodes = ["bus"]
    for number in range(int(rng.integers(1, 4))):
        emf = emf_V + rng.uniform(-0.2, 0.2)
        elements.append(VoltageSource(f"G{number}", f"g{number}", "0", emf))
        elements.append(Resistor(f"RG{number}", f"g{number}", "bus", _log(rng, 2e-3, 2e-2)))
    for number in range(int(rng.integers(1, 6))):
        start, node = nodes[int(rng.integers(0, len(nodes)))], f"m{number}"
        elements.append(Resistor(f"W{number}", start, node, _log(rng, 1e-4, 5e-3)))
        elements.append(ConstantPower(f"P{number}", node, "0", _log(rng, 1.0, 200.0), 9.0))
        nodes.append(node)
    elements.append(Diode("D", nodes[-1], "d", 1e-12, 1.5))
    elements.append(Resistor("RD", "d", "0", _log(rng, 1.0, 100.0)))
    return Network().add(*elements)


def mixed(seed: int) -> Network:
    """Everything at once and without mercy; may have several solutions, and a few resist plain Newton."""
    rng = np.random.default_rng(seed)
    nodes = ["0", *(f"n{number}" for number in range(int(rng.integers(1, 6))))]
    elements: list[Element] = []
    for number in range(1, len(nodes)):
        below = nodes[int(rng.integers(0, number))]
        if rng.random() < 0.3:
            elements.append(VoltageSource(f"E{number}", nodes[number], below, rng.uniform(-60, 60)))
        else:
            elements.append(Resistor(f"R{number}", nodes[number], below, _log(rng, 1e-3, 1e4)))
    for number in range(int(rng.integers(2, 8))):
        a, b = _two(rng, nodes)
        kind = rng.random()
        if kind < 0.2:
            elements.append(CurrentSource(f"I{number}", a, b, rng.uniform(-10, 10)))
        elif kind < 0.6:
            elements.append(ConstantPower(f"P{number}", a, b, _log(rng, 0.01, 1e3), rng.uniform(1, 12)))
        else:
            elements.append(Resistor(f"S{number}", a, f"d{number}", _log(rng, 1e-3, 1e3)))
            saturation, emission = _log(rng, 1e-15, 1e-8), rng.uniform(1, 2)
            elements.append(Diode(f"D{number}", f"d{number}", b, saturation, emission))
    return Network().add(*elements)


def _log(rng: np.random.Generator, low: float, high: float) -> float:
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def _two(rng: np.random.Generator, nodes: list[str]) -> tuple[str, str]:
    a, b = rng.choice(len(nodes), 2, replace=False)
    return nodes[int(a)], nodes[int(b)]
