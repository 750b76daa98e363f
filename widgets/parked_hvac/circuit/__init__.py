"""A general network solver; it has never heard of a truck."""

from parked_hvac.circuit.elements import CurrentSource, Element, Resistor, Switch, VoltageSource
from parked_hvac.circuit.errors import CircuitError, NotConverged, SingularNetwork
from parked_hvac.circuit.fold import LEAK_S
from parked_hvac.circuit.network import Network
from parked_hvac.circuit.nonlinear import ConstantPower, Diode
from parked_hvac.circuit.reduced import Reduced
from parked_hvac.circuit.reduction import Reduction
from parked_hvac.circuit.solution import Solution

__all__ = [
    "LEAK_S",
    "CircuitError",
    "ConstantPower",
    "CurrentSource",
    "Diode",
    "Element",
    "Network",
    "NotConverged",
    "Reduced",
    "Reduction",
    "Resistor",
    "SingularNetwork",
    "Solution",
    "Switch",
    "VoltageSource",
]
