"""Do solutions obey the laws of circuits? No outside values needed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parked_hvac.circuit import (
    CurrentSource,
    Element,
    Network,
    NotConverged,
    Resistor,
    Solution,
    Switch,
    VoltageSource,
)
from parked_hvac.circuit import network as network_module
from parked_hvac.circuit.nonlinear import NonlinearElement
from tests.circuit import networks

Make = Callable[[int], Network]
ALL: list[Make] = [networks.linear, networks.with_diodes, networks.with_loads, networks.mixed]
seeds = st.integers(0, 10**6)
families = st.sampled_from(ALL)

# The equations are solved to 1e-15 of the greatest current; 1e-9 leaves room for the square of Newton's last
# step (1e-9 of a voltage, at 26 mV per factor e).
BALANCE = 1e-9


@settings(deadline=None)
@given(families, seeds)
def test_the_currents_at_every_node_sum_to_zero(make: Make, seed: int) -> None:
    network = make(seed)
    solution = network.solve()
    for node in network.nodes:
        meeting = [abs(solution.current_A(e.name)) for e in network.elements if node in (e.a, e.b)]
        assert abs(solution.imbalance_A(node)) <= BALANCE * max(meeting) + 1e-12


@settings(deadline=None)
@given(families, seeds)
def test_every_element_obeys_its_own_law(make: Make, seed: int) -> None:
    network = make(seed)
    solution = network.solve()
    span = max(abs(solution.voltage_V(node)) for node in network.nodes)
    for element in network.elements:
        voltage, current = solution.voltage_V(element.a, element.b), solution.current_A(element.name)
        match element:
            case VoltageSource():
                assert voltage == pytest.approx(element.voltage_V, rel=1e-12, abs=1e-12 * span)
            case CurrentSource():
                assert current == pytest.approx(element.current_A, rel=1e-12)
            case Switch(closed=False):
                assert current == 0.0
            case Resistor() | Switch():
                # The node voltages are rounded to 1e-16 of themselves, whatever the drop.
                assert voltage == pytest.approx(current * element.resistance_ohm, rel=1e-9, abs=1e-14 * span)
            case NonlinearElement():
                # A steep junction turns the rounding of a voltage into 4e-14 per volt of its current.
                assert current == pytest.approx(
                    element.law_A(voltage), rel=1e-9 + 1e-12 * span, abs=1e-12 * element.slope_S(0.0)
                )


@settings(deadline=None)
@given(families, seeds)
def test_what_sources_give_the_rest_takes(make: Make, seed: int) -> None:
    network = make(seed)
    solution = network.solve()
    powers = [solution.power_W(element.name) for element in network.elements]
    assert sum(powers) == pytest.approx(0.0, abs=1e-8 * max(map(abs, powers)) + 1e-12)


@settings(deadline=None)
@given(seeds)
def test_each_source_acts_as_if_it_were_alone(seed: int) -> None:
    network = networks.linear(seed)
    sources = [e for e in network.elements if isinstance(e, VoltageSource | CurrentSource)]
    alone = [_only(network, source).solve() for source in sources]
    together = network.solve()
    # The parts may cancel, so the tolerance follows the greatest voltage of all.
    span = max(abs(solution.voltage_V(node)) for solution in alone for node in network.nodes)
    for node in network.nodes:
        parts = sum(solution.voltage_V(node) for solution in alone)
        assert together.voltage_V(node) == pytest.approx(parts, abs=1e-10 * span)


@settings(deadline=None)
@given(seeds, st.data())
def test_a_passive_network_transfers_alike_in_both_directions(seed: int, data: st.DataObject) -> None:
    network = _only(networks.linear(seed), None)
    here, there = (data.draw(st.sampled_from(network.nodes[1:])) for _ in range(2))
    driven_here = Network().add(*network.elements, CurrentSource("drive", "0", here, 1.0)).solve()
    driven_there = Network().add(*network.elements, CurrentSource("drive", "0", there, 1.0)).solve()
    # 1 A through 1e5 ohm makes 1e5 V, whose rounding is 1e-11 V.
    assert driven_here.voltage_V(there) == pytest.approx(driven_there.voltage_V(here), rel=1e-10, abs=1e-10)


def test_the_balance_check_refuses_a_wrong_current() -> None:
    network = Network().add(VoltageSource("E", "a", "0", 12.0), Resistor("R", "a", "0", 2.0))
    right = network.solve()
    wrong = Solution(right.ground, right.elements, right.voltages_V, {"E": -6.0, "R": 6.001})
    assert wrong.imbalance_A("a") == pytest.approx(0.001)
    with pytest.raises(NotConverged, match=r"At node '0' -0\.001 A are unaccounted for"):
        wrong.check()


def test_a_solution_is_not_handed_out_before_its_balance_is_checked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(network_module, "settle", lambda *_: ({"0": 0.0, "a": 12.0}, {"E": -6.0, "R": 6.001}))
    with pytest.raises(NotConverged, match="unaccounted for"):
        Network().add(VoltageSource("E", "a", "0", 12.0), Resistor("R", "a", "0", 2.0)).solve()


def test_the_balance_check_refuses_what_is_no_number() -> None:
    network = Network().add(VoltageSource("E", "a", "0", 12.0), Resistor("R", "a", "0", 2.0))
    right = network.solve()
    with pytest.raises(NotConverged, match="nan"):
        Solution(right.ground, right.elements, right.voltages_V, {"E": np.nan, "R": 6.0}).check()


def _only(network: Network, source: Element | None) -> Network:
    """The network with every other source at rest."""
    quiet = Network()
    for element in network.elements:
        if element is source:
            quiet.add(element)
        elif isinstance(element, VoltageSource):
            quiet.add(replace(element, voltage_V=0.0))
        elif isinstance(element, CurrentSource):
            quiet.add(replace(element, current_A=0.0))
        else:
            quiet.add(element)
    return quiet
