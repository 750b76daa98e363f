"""Does another program find the same voltages and currents? Outside source: ngspice 39.3 or later."""

from __future__ import annotations

from pathlib import Path

import pytest

from parked_hvac.circuit import Network, Resistor
from tests.circuit import networks
from tests.circuit.ngspice import operating_point

SEEDS = range(15)

# ngspice stops at reltol 1e-9 and prints 14 digits; resistances from 1 milliohm to 100 kilohm cost it some of
# them. Seen over 100 networks: 4e-10 of the largest voltage.
RELATIVE = 1e-8
# Its constants k and q are those of CODATA 2014, 3.5e-7 off the exact ones, which moves each junction of
# 0.5 to 0.9 V by 2e-7 to 3e-7 V; several lie in series, and the networks pass 10 milliohm and more.
# Seen over 100 networks: 1.8e-6 V and 8e-5 A; with loads, behind one diode and 1 ohm, 4e-7 V and 4e-7 A.
JUNCTIONS = (4e-6, 2e-4)
ONE_JUNCTION = (1e-6, 1e-6)
# Where the true value is zero: 30 V are rounded to 4e-15 V, which drive 4e-12 A through a milliohm.
ROUNDING = (1e-12, 2e-11)


def disagreement(
    program: str,
    network: Network,
    folder: Path,
    solved: Network | None = None,
    slack: tuple[float, float] = ROUNDING,
) -> float:
    """Worst difference as a multiple of what is allowed."""
    solution = (solved or network).solve()
    voltages, currents = operating_point(program, network, folder)
    allowed_V = RELATIVE * max(map(abs, voltages.values())) + slack[0]
    allowed_A = RELATIVE * max(map(abs, currents.values())) + slack[1]
    differences = [abs(solution.voltage_V(node) - theirs) / allowed_V for node, theirs in voltages.items()]
    differences += [abs(solution.current_A(name) - theirs) / allowed_A for name, theirs in currents.items()]
    return max(differences)


@pytest.mark.parametrize("seed", SEEDS)
def test_linear_networks_agree(ngspice: str, tmp_path: Path, seed: int) -> None:
    assert disagreement(ngspice, networks.linear(seed), tmp_path) < 1.0


@pytest.mark.parametrize("seed", SEEDS)
def test_networks_with_diodes_agree(ngspice: str, tmp_path: Path, seed: int) -> None:
    network = networks.with_diodes(seed)
    assert disagreement(ngspice, network, tmp_path, slack=JUNCTIONS) < 1.0


@pytest.mark.parametrize("seed", SEEDS)
def test_networks_with_constant_power_loads_agree(ngspice: str, tmp_path: Path, seed: int) -> None:
    network = networks.with_loads(seed)
    assert disagreement(ngspice, network, tmp_path, slack=ONE_JUNCTION) < 1.0


def test_the_comparison_notices_a_resistance_that_is_one_part_in_a_thousand_off(
    ngspice: str, tmp_path: Path
) -> None:
    network = networks.with_loads(3)
    cable = network.element("W0")
    assert isinstance(cable, Resistor)
    off = Network().add(*network.elements)
    off.replace(Resistor("W0", cable.a, cable.b, cable.resistance_ohm * 1.001))
    assert disagreement(ngspice, network, tmp_path, solved=off, slack=ONE_JUNCTION) > 1.0
