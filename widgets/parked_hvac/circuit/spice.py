"""Write a network as a netlist for ngspice, so that another program can check the solver."""

from __future__ import annotations

from parked_hvac.circuit.elements import CurrentSource, Element, Resistor, Switch, VoltageSource
from parked_hvac.circuit.errors import CircuitError
from parked_hvac.circuit.network import Network
from parked_hvac.circuit.nonlinear import ConstantPower, Diode

# Tolerances far below those of any test, and no hidden conductance beside the junctions to speak of.
_OPTIONS = ".options reltol=1e-9 abstol=1e-15 vntol=1e-12 gmin=1e-15 itl1=1000"


def node_names(network: Network) -> dict[str, str]:
    """The name in the netlist of each node; ours may hold signs that ngspice reads as arithmetic."""
    return {node: str(number) if number == 0 else f"n{number}" for number, node in enumerate(network.nodes)}


def element_names(network: Network) -> dict[str, str]:
    """The name in the netlist of each element: its kind's letter and its number."""
    return {
        element.name: f"{_letter(element)}{number}"
        for number, element in enumerate(network.elements, start=1)
    }


def netlist(network: Network, title: str) -> str:
    """The netlist, with commands that print the operating point: each node voltage, each source current.

    Run it with ``ngspice -b FILE``. A current prints positive from the first node to the second through the
    source. Raises CircuitError for a title of several lines and for an element of another make.
    """
    if "\n" in title or "\r" in title:
        raise CircuitError(f"The title {title!r} has several lines; give one.")
    nodes, names = node_names(network), element_names(network)
    lines = [f"* {title}"]
    lines += [f"* {short} is node {node!r}" for node, short in nodes.items()]
    for element in network.elements:
        short = names[element.name]
        lines.append(f"* {short} is {element.name!r}")
        lines += _cards(element, short, nodes[element.a], nodes[element.b])
    prints = [f"print v({short})" for short in nodes.values() if short != "0"]
    prints += [f"print i({names[e.name]})" for e in network.elements if isinstance(e, VoltageSource)]
    # Without `quit 0` a batch run that has only commands ends with status 1.
    lines += [_OPTIONS, ".control", "set numdgt=14", "op", *prints, "quit 0", ".endc", ".end"]
    return "\n".join(lines) + "\n"


def _letter(element: Element) -> str:
    match element:
        case Resistor() | Switch():
            return "r"
        case VoltageSource():
            return "v"
        case CurrentSource():
            return "i"
        case ConstantPower():
            return "b"
        case Diode():
            return "d"
        case _:
            raise CircuitError(f"{element.name!r} is a {type(element).__name__}, which has no netlist form.")


def _cards(element: Element, short: str, a: str, b: str) -> list[str]:
    match element:
        case Switch(closed=False):
            return []
        case Resistor() | Switch():
            return [f"{short} {a} {b} {_number(element.resistance_ohm)}"]
        case VoltageSource():
            return [f"{short} {a} {b} {_number(element.voltage_V)}"]
        case CurrentSource():
            return [f"{short} {a} {b} {_number(element.current_A)}"]
        case ConstantPower():
            power, least = _number(element.power_W), _number(element.minimum_voltage_V)
            v = f"v({a},{b})"
            return [f"{short} {a} {b} i = {v} < {least} ? {v}*{power}/{least}^2 : {power}/{v}"]
        case Diode():
            # The model's own temperature keeps ngspice from rescaling the saturation current.
            heat = _number(element.temperature_C)
            model = f"d(is={_number(element.saturation_A)} n={_number(element.emission)} tnom={heat})"
            return [f"{short} {a} {b} model_{short} temp={heat}", f".model model_{short} {model}"]
        case _:
            raise CircuitError(f"{element.name!r} is a {type(element).__name__}, which has no netlist form.")


def _number(value: float) -> str:
    # A numpy number would print its type as well.
    return repr(float(value))
