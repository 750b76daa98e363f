"""A network of two-terminal elements: collect them, check that a solution can exist, solve."""

from __future__ import annotations

from collections.abc import Iterable

from parked_hvac.circuit.elements import Element, VoltageSource
from parked_hvac.circuit.errors import CircuitError, SingularNetwork, unknown
from parked_hvac.circuit.newton import settle
from parked_hvac.circuit.solution import Solution


class Network:
    """Elements between named nodes, one of which is the ground (0 V)."""

    def __init__(self, ground: str = "0") -> None:
        self.ground = ground
        self._elements: dict[str, Element] = {}

    def add(self, *elements: Element) -> Network:
        """Add elements, all or none; raises CircuitError for a name that is taken. Returns the network."""
        taken = set(self._elements)
        for element in elements:
            if not isinstance(element, Element):
                raise CircuitError(f"{element!r} is no element; add resistors, sources and the like.")
            if element.name in taken:
                raise CircuitError(f"The name {element.name!r} is taken; give each element its own.")
            taken.add(element.name)
        self._elements.update({element.name: element for element in elements})
        return self

    def replace(self, *elements: Element) -> Network:
        """Put elements in the place of those of the same names, all or none. Returns the network."""
        for element in elements:
            self.element(element.name)
        self._elements.update({element.name: element for element in elements})
        return self

    def element(self, name: str) -> Element:
        """The element of a name; raises CircuitError with the nearest name."""
        if name not in self._elements:
            raise unknown("element", name, self._elements)
        return self._elements[name]

    @property
    def elements(self) -> tuple[Element, ...]:
        """All elements in the order in which they were added."""
        return tuple(self._elements.values())

    @property
    def nodes(self) -> tuple[str, ...]:
        """All nodes, ground first, then in the order of their first appearance."""
        ends = (node for element in self._elements.values() for node in (element.a, element.b))
        return tuple(dict.fromkeys([self.ground, *ends]))

    def solve(self) -> Solution:
        """Voltages and currents in the steady state.

        Raises SingularNetwork, naming the floating nodes or the sources in conflict, and NotConverged.
        """
        elements, nodes = self.elements, self.nodes
        _refuse_floating(elements, nodes, self.ground)
        _refuse_source_loops(elements)
        voltages, currents = settle(elements, nodes)
        solution = Solution(self.ground, elements, voltages, currents)
        solution.check()
        return solution


def _refuse_floating(elements: Iterable[Element], nodes: Iterable[str], ground: str) -> None:
    joined = _Groups()
    for element in elements:
        if element.conducts:
            joined.join(element.a, element.b)
    home = joined.of(ground)
    floating = [node for node in nodes if joined.of(node) != home]
    if floating:
        names = ", ".join(repr(node) for node in floating)
        subject = f"Node {names} floats" if len(floating) == 1 else f"The nodes {names} float"
        raise SingularNetwork(
            f"{subject}: nothing that conducts leads to the ground {ground!r}; add a resistance there.",
            floating,
        )


def _refuse_source_loops(elements: Iterable[Element]) -> None:
    joined = _Groups()
    path: dict[str, list[tuple[str, str]]] = {}  # node -> (neighbour, source between them)
    for source in elements:
        if not isinstance(source, VoltageSource):
            continue
        if joined.of(source.a) == joined.of(source.b):
            loop = [source.name, *_sources_between(source.a, source.b, path)]
            raise SingularNetwork(
                f"The ideal voltage sources {', '.join(map(repr, loop))} form a closed loop;"
                " put a resistance into it.",
                loop,
            )
        joined.join(source.a, source.b)
        path.setdefault(source.a, []).append((source.b, source.name))
        path.setdefault(source.b, []).append((source.a, source.name))


def _sources_between(start: str, end: str, path: dict[str, list[tuple[str, str]]]) -> list[str]:
    found: dict[str, list[str]] = {start: []}
    waiting = [start]
    while waiting:
        node = waiting.pop()
        for neighbour, source in path.get(node, []):
            if neighbour not in found:
                found[neighbour] = [*found[node], source]
                waiting.append(neighbour)
    return found[end]


class _Groups:
    """Which nodes hang together."""

    def __init__(self) -> None:
        self._parent: dict[str, str] = {}

    def of(self, node: str) -> str:
        while (above := self._parent.get(node, node)) != node:
            node = above
        return node

    def join(self, a: str, b: str) -> None:
        self._parent[self.of(a)] = self.of(b)
