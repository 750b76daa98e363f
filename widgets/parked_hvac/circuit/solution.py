"""The solved state of a network."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from parked_hvac.circuit.elements import Element
from parked_hvac.circuit.errors import NotConverged, unknown

_BALANCE = 1e-8  # of the currents at a node: rounding gives 1e-12, a wrong equation gives 1
_NOTHING_A = 1e-11


@dataclass(frozen=True)
class Solution:
    """Voltages and currents of a network in its steady state."""

    ground: str
    elements: Sequence[Element]
    voltages_V: Mapping[str, float]
    currents_A: Mapping[str, float]

    def voltage_V(self, red: str, black: str | None = None) -> float:
        """Voltage of node ``red`` against node ``black``, by default the ground."""
        return self._at(red) - self._at(self.ground if black is None else black)

    def current_A(self, name: str) -> float:
        """Current through an element, positive from its first node to its second."""
        if name not in self.currents_A:
            raise unknown("element", name, self.currents_A)
        return self.currents_A[name]

    def power_W(self, name: str) -> float:
        """Power an element takes in; negative for one that delivers."""
        current = self.current_A(name)
        element = next(element for element in self.elements if element.name == name)
        return self.voltage_V(element.a, element.b) * current

    def imbalance_A(self, node: str) -> float:
        """Sum of the currents that leave a node through its elements; zero but for rounding."""
        self._at(node)
        return sum(self._leaving(node))

    def check(self) -> None:
        """Raise NotConverged if the currents at some node do not balance."""
        for node in self.voltages_V:
            leaving = self._leaving(node)
            allowed = _BALANCE * max(map(abs, leaving), default=0.0) + _NOTHING_A
            # Written so that a NaN fails too.
            if not abs(sum(leaving)) <= allowed:
                raise NotConverged(
                    f"At node {node!r} {sum(leaving):.3g} A are unaccounted for;"
                    " the values of the elements lie too far apart."
                )

    def _leaving(self, node: str) -> list[float]:
        out = [self.currents_A[element.name] for element in self.elements if element.a == node]
        return out + [-self.currents_A[element.name] for element in self.elements if element.b == node]

    def _at(self, node: str) -> float:
        if node not in self.voltages_V:
            raise unknown("node", node, self.voltages_V)
        return self.voltages_V[node]
