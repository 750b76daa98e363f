"""The linear two-terminal elements of a network and what every element has in common.

A current is positive from ``a`` to ``b`` through the element, a voltage is that of ``a`` against ``b``.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from parked_hvac.circuit.errors import CircuitError


@dataclass(frozen=True)
class Element:
    """Something between two nodes; raises CircuitError for a value that no such part can have."""

    name: str
    a: str
    b: str

    def __post_init__(self) -> None:
        for what, text in (("name", self.name), ("first node", self.a), ("second node", self.b)):
            if not isinstance(text, str) or not text:
                raise CircuitError(f"The {what} of element {self.name!r} is {text!r}; give it a text.")
        if self.a == self.b:
            raise CircuitError(f"{self.name!r} joins node {self.a!r} to itself; give it two nodes.")

    @property
    def conducts(self) -> bool:
        """Whether it ties the voltages of its nodes together, so that neither floats."""
        return True


@dataclass(frozen=True)
class Resistor(Element):
    """A resistance in ohm, above zero."""

    resistance_ohm: float

    def __post_init__(self) -> None:
        super().__post_init__()
        positive(
            self, "resistance_ohm", self.resistance_ohm, "for a perfect joint use a VoltageSource of 0 V"
        )


@dataclass(frozen=True)
class VoltageSource(Element):
    """An ideal source that holds ``a`` at voltage_V above ``b``; its current is negative when it delivers."""

    voltage_V: float

    def __post_init__(self) -> None:
        super().__post_init__()
        finite(self, "voltage_V", self.voltage_V)


@dataclass(frozen=True)
class CurrentSource(Element):
    """An ideal source that drives current_A from ``a`` through itself to ``b``."""

    current_A: float

    def __post_init__(self) -> None:
        super().__post_init__()
        finite(self, "current_A", self.current_A)

    @property
    def conducts(self) -> bool:
        """A current source leaves the voltages of its nodes free."""
        return False


@dataclass(frozen=True)
class Switch(Element):
    """A contact: closed it is a small resistance in ohm, open it is absent."""

    closed: bool = True
    resistance_ohm: float = 1e-3

    def __post_init__(self) -> None:
        super().__post_init__()
        positive(self, "resistance_ohm", self.resistance_ohm, "a closed contact has some resistance")

    @property
    def conducts(self) -> bool:
        """An open contact ties nothing."""
        return self.closed


def finite(element: Element, what: str, value: float) -> None:
    """Refuse a value that is not a finite number."""
    if not _is_finite(value):
        raise CircuitError(f"{element.name!r} has {what} = {value!r}; give a finite number.")


def positive(element: Element, what: str, value: float, advice: str) -> None:
    """Refuse a value that is not a finite number above zero."""
    if not (_is_finite(value) and value > 0.0):
        raise CircuitError(f"{element.name!r} has {what} = {value!r}; give a number above zero ({advice}).")


def _is_finite(value: object) -> bool:
    try:
        return isfinite(value)  # type: ignore[arg-type]  # anything may arrive here from outside
    except TypeError:
        return False
