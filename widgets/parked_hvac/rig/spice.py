"""Write the truck's whole wiring, as it stands at one moment, as a netlist for ngspice.

Every branch is a resistor with its source behind it; the loads that are no resistors are written by their laws,
so that the other program finds their currents by itself. Nothing is handed over that our solver found.
"""

from __future__ import annotations

from collections.abc import Mapping

from parked_hvac.circuit.fold import LEAK_S
from parked_hvac.physics.scalar.alternator import ROUNDING_FRACTION
from parked_hvac.rig.harness import GROUND, harness
from parked_hvac.rig.kernel.numbers import LOADS
from parked_hvac.rig.truck import Truck

# Tolerances far below those of any test, and no hidden conductance at the loads.
_OPTIONS = ".options reltol=1e-9 abstol=1e-12 vntol=1e-9 gmin=1e-15 itl1=2000"


def node_names() -> dict[str, str]:
    """The name in the netlist of each node; ours hold signs that ngspice reads as arithmetic."""
    layout = harness()
    found = dict.fromkeys(node for ends in layout.ends for node in ends if node != GROUND)
    return {GROUND: "0", **{node: f"n{number}" for number, node in enumerate(found, 1)}}


def netlist(truck: Truck, title: str, draw: int = 0) -> str:
    """The netlist of one draw, with commands that print the voltage of each node. Run it with ``ngspice -b FILE``."""
    nodes, layout = node_names(), harness()
    siemens, source_V = truck.now.conductance_S[:, draw], truck.now.source_V[:, draw]
    lines = [f"* {' '.join(title.split())}", *(f"* {short} is node {node}" for node, short in nodes.items())]
    for row, (a, b) in enumerate(layout.ends):
        if siemens[row] == 0.0:
            continue
        ohm, first, second = repr(1.0 / float(siemens[row])), nodes[a], nodes[b]
        if source_V[row] == 0.0:
            lines.append(f"r{row} {first} {second} {ohm}")
        else:
            lines.append(f"r{row} {first} m{row} {ohm}")
            lines.append(f"v{row} m{row} {second} {float(source_V[row])!r}")
    lines += [f"rleak{short} {short} 0 {1.0 / LEAK_S!r}" for short in nodes.values() if short != "0"]
    lines += _loads(truck.now.load_figures(draw), nodes)
    prints = [f"print v({short})" for short in nodes.values() if short != "0"]
    # Without `quit 0` a batch run that has only commands ends with status 1.
    lines += [_OPTIONS, ".control", "set numdgt=14", "op", *prints, "quit 0", ".endc", ".end"]
    return "\n".join(lines) + "\n"


def _loads(p: Mapping[str, float], nodes: dict[str, str]) -> list[str]:
    """The loads by their laws, each a source whose current depends on the voltage across it."""
    cards = []
    for number, (plus, minus) in enumerate(LOADS[: 4 if p["engine"] else 3]):
        a, b = nodes[plus], nodes[minus]
        cards.append(f"b{number} {a} {b} i = {_LAWS[number](f'v({a},{b})', p)}")
    return cards


def _drive(v: str, p: Mapping[str, float]) -> str:
    power, least = p["power_W"], p["drive_minimum_V"]
    return f"{v} < {least!r} ? {v} * {power / least**2!r} : {power!r} / max({v}, {least!r})"


def _blower(v: str, p: Mapping[str, float]) -> str:
    """A brushed motor whose fan torque goes by the square of the speed: the speed is the root of a quadratic."""
    ohm, k, c = p["blower_resistance_ohm"], p["blower_constant_V_per_rad_s"], p["blower_fan_torque"]
    driving = f"max({k / ohm!r} * {v} - {p['blower_friction_Nm']!r}, 0)"
    damping = k * k / ohm
    speed = f"2 * {driving} / ({damping!r} + sqrt({damping**2!r} + {4 * c!r} * {driving}))"
    return f"({v} - {k!r} * {speed}) / {ohm!r}"


def _fan(v: str, p: Mapping[str, float]) -> str:
    above = f"min(max(({v} - {p['fan_minimum_V']!r}) / 0.05, -60), 60)"
    return f"({p['fan_W']!r} / max({v}, 0.1) + {p['fan_standby_A']!r}) / (1 + exp(-({above})))"


def _alternator(v: str, p: Mapping[str, float]) -> str:
    """Wanted current, softly limited to what the speed gives; it flows out of G3+, so against the load's way."""
    round_A = ROUNDING_FRACTION * p["alternator_max_current_A"]
    wanted = f"(({p['alternator_held_V']!r} + {v}) / {p['alternator_regulator_ohm']!r})"
    soft = [
        f"(max({x}, 0) + ln(1 + exp(-abs({x}))))"
        for x in (
            f"({wanted} / {round_A!r})",
            f"(({wanted} - {p['alternator_available_A']!r}) / {round_A!r})",
        )
    ]
    return f"{round_A!r} * ({soft[0]} - {soft[1]})"


_LAWS = (_drive, _blower, _fan, _alternator)
