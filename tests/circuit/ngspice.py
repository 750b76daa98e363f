"""Run netlists in ngspice and read what it prints; tests/conftest.py finds the program."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

from parked_hvac.circuit import Network, VoltageSource
from parked_hvac.circuit.spice import element_names, netlist, node_names

_PRINTED = re.compile(r"^(\S.*?) = ([-+0-9.eE]+)\s*$", re.MULTILINE)


def run(program: str, deck: str, folder: Path) -> list[tuple[str, float]]:
    """What a netlist prints, in order: expression and value."""
    file = folder / "deck.cir"
    file.write_text(deck, encoding="utf-8")
    done = subprocess.run(
        [program, "-b", str(file)], capture_output=True, text=True, timeout=60, check=False, cwd=folder
    )
    assert done.returncode == 0, (
        f"ngspice ended with {done.returncode}:\n{deck}\n{done.stdout}\n{done.stderr}"
    )
    return [(name.strip().lower(), float(value)) for name, value in _PRINTED.findall(done.stdout)]


def operating_point(
    program: str, network: Network, folder: Path
) -> tuple[dict[str, float], dict[str, float]]:
    """Node voltages and voltage-source currents of a network, as ngspice finds them, under our names."""
    printed = dict(run(program, netlist(network, "random network"), folder))
    voltages = {
        node: 0.0 if short == "0" else printed[f"v({short})"] for node, short in node_names(network).items()
    }
    names = element_names(network)
    sources = [element.name for element in network.elements if isinstance(element, VoltageSource)]
    return voltages, {name: printed[f"i({names[name]})"] for name in sources}
