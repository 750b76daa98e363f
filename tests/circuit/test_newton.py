"""Are the states of diodes and constant-power loads the right ones, and found where Newton alone fails?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parked_hvac.circuit import ConstantPower, Diode, Network, Resistor, VoltageSource, newton
from tests.circuit import networks


def fed_load(power_W: float, minimum_voltage_V: float, emf_V: float = 12.0) -> Network:
    return Network().add(
        VoltageSource("E", "a", "0", emf_V),
        Resistor("R", "a", "b", 1.0),
        ConstantPower("P", "b", "0", power_W, minimum_voltage_V),
    )


@given(st.floats(0.01, 35.9))
@settings(deadline=None)
def test_a_load_behind_one_ohm_takes_its_power_at_the_upper_voltage(power_W: float) -> None:
    # By hand: V = E/2 + sqrt(E^2/4 - P R), real up to P = E^2/4R = 36 W, the most the feed can deliver.
    # Close to that limit the root loses digits: at 35.9 W 1e-15 of 36 W makes 2e-15/0.3.
    expected = 6.0 + math.sqrt(36.0 - power_W)
    solution = fed_load(power_W, 2.0).solve()
    assert solution.voltage_V("b") == pytest.approx(expected, rel=1e-9)
    assert solution.power_W("P") == pytest.approx(power_W, rel=1e-9)


def test_a_load_beyond_what_the_feed_delivers_collapses_to_its_resistance() -> None:
    # By hand: below 2 V it is 2^2/40 = 0.1 ohm, so 12 V divide 1 : 0.1.
    solution = fed_load(40.0, 2.0).solve()
    assert solution.voltage_V("b") == pytest.approx(12.0 * 0.1 / 1.1, rel=1e-12)


def test_a_load_below_its_minimum_voltage_takes_less_power() -> None:
    # By hand: 9^2/81 = 1 ohm, so 12 V divide in half.
    solution = fed_load(81.0, 9.0).solve()
    assert solution.voltage_V("b") == pytest.approx(6.0, rel=1e-12)
    assert solution.power_W("P") == pytest.approx(36.0, rel=1e-12)


def test_a_load_on_reversed_supply_is_its_resistance() -> None:
    solution = fed_load(81.0, 9.0, emf_V=-12.0).solve()
    assert solution.voltage_V("b") == pytest.approx(-6.0, rel=1e-12)


def test_the_law_of_a_load_has_no_jump_at_its_minimum() -> None:
    load = ConstantPower("P", "a", "b", 50.0, 9.0)
    assert load.law_A(math.nextafter(9.0, 0.0)) == pytest.approx(load.law_A(9.0), rel=1e-12)


def test_a_diode_behind_a_resistor_carries_what_both_laws_allow() -> None:
    # Bisection on the same equation, by means that share nothing with the solver but the law itself:
    # I = 1e-12 (exp(V / 1.7 kT/q) - 1), kT/q at 40 degC = 1.380649e-23 * 313.15 / 1.602176634e-19 V.
    thermal = 1.7 * 1.380649e-23 * 313.15 / 1.602176634e-19
    low, high = 0.0, 5.0
    for _ in range(200):
        middle = (low + high) / 2
        if 1e-12 * math.expm1(middle / thermal) < (5.0 - middle) / 100.0:
            low = middle
        else:
            high = middle
    network = Network().add(
        VoltageSource("E", "a", "0", 5.0),
        Resistor("R", "a", "b", 100.0),
        Diode("D", "b", "0", 1e-12, 1.7, 40.0),
    )
    assert network.solve().voltage_V("b") == pytest.approx(low, abs=1e-12)


def test_a_diode_in_reverse_leaks_its_saturation_current() -> None:
    network = Network().add(
        VoltageSource("E", "a", "0", -24.0), Resistor("R", "a", "b", 1e6), Diode("D", "b", "0", 1e-9)
    )
    assert network.solve().current_A("D") == pytest.approx(-1e-9, rel=1e-9)


def test_four_diodes_rectify_either_way() -> None:
    def bridge(emf_V: float) -> float:
        return (
            Network()
            .add(
                VoltageSource("E", "p", "n", emf_V),
                Diode("D1", "p", "plus"),
                Diode("D2", "n", "plus"),
                Diode("D3", "0", "p"),
                Diode("D4", "0", "n"),
                Resistor("R", "plus", "0", 100.0),
            )
            .solve()
            .voltage_V("plus")
        )

    assert bridge(12.0) == pytest.approx(bridge(-12.0), rel=1e-9)
    # Two junctions of 26 mV * ln(0.1 A / 1e-14 A) = 0.77 V each lie in the path.
    assert bridge(12.0) == pytest.approx(12.0 - 2 * 0.77, abs=0.02)


# Found by trying 6000 seeds: plain Newton wandered here between the branches of several loads. `solve` checks
# the balance itself.
@pytest.mark.parametrize("seed", [5, 146, 545, 573, 664, 2519, 4625])
def test_networks_on_which_newton_wanders_have_a_state(seed: int) -> None:
    network = networks.mixed(seed)
    solution = network.solve()
    assert all(math.isfinite(solution.voltage_V(node)) for node in network.nodes)


@pytest.fixture
def slow_way_only(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let Newton fail at every first try."""
    plain = newton._newton
    tried: list[int] = []

    def refuse_once(tableau: Any, curved: Any, anchors: Any = None, anchor_S: float = 0.0) -> Any:
        if anchors is None:
            tried.append(1)
            return None
        return plain(tableau, curved, anchors, anchor_S)

    monkeypatch.setattr(newton, "_newton", refuse_once)
    yield
    assert tried


@pytest.mark.usefixtures("slow_way_only")
@pytest.mark.parametrize("seed", range(20))
def test_the_slow_way_finds_a_state_of_any_network(seed: int) -> None:
    networks.mixed(seed).add(Diode("last", "0", "x"), Resistor("tail", "x", "0", 1.0)).solve()


@pytest.mark.parametrize("make", [networks.with_diodes, networks.with_loads])
@pytest.mark.parametrize("seed", range(10))
def test_the_slow_way_finds_the_same_state_where_there_is_one_only(
    make: Any, seed: int, request: pytest.FixtureRequest
) -> None:
    network = make(seed)
    quick = network.solve()
    request.getfixturevalue("slow_way_only")
    slow = network.solve()
    for node in network.nodes:
        assert slow.voltage_V(node) == pytest.approx(quick.voltage_V(node), rel=1e-8, abs=1e-8)


def test_a_load_found_the_slow_way_is_the_stiff_one(slow_way_only: None) -> None:
    # 20 W behind 1 ohm: 6 + 4 = 10 V, and not the collapsed 12 * 0.2 / 1.2 = 2 V.
    assert fed_load(20.0, 2.0).solve().voltage_V("b") == pytest.approx(10.0, rel=1e-9)
