"""Does a network answer as its users read it, and refuse what cannot be?"""

from __future__ import annotations

import math

import pytest

from parked_hvac.circuit import (
    CircuitError,
    ConstantPower,
    CurrentSource,
    Diode,
    Network,
    NotConverged,
    Resistor,
    SingularNetwork,
    Switch,
    VoltageSource,
)


def divider() -> Network:
    return Network(ground="0").add(
        VoltageSource("E1", "a", "0", voltage_V=12.6),
        Resistor("R1", "a", "b", resistance_ohm=2.0),
        CurrentSource("I1", "b", "0", current_A=3.0),
    )


def test_the_example_of_the_design_paper() -> None:
    solution = divider().solve()
    # By hand: 3 A through 2 ohm drop 6 V.
    assert solution.voltage_V("a", "b") == pytest.approx(6.0, abs=1e-12)
    assert solution.current_A("R1") == pytest.approx(3.0, abs=1e-12)


def test_the_black_lead_rests_on_ground_by_default() -> None:
    solution = divider().solve()
    assert solution.voltage_V("b") == solution.voltage_V("b", "0") == pytest.approx(6.6, abs=1e-12)
    assert solution.voltage_V("b", "a") == -solution.voltage_V("a", "b")


def test_a_current_is_positive_from_the_first_node_to_the_second_through_the_element() -> None:
    solution = divider().solve()
    assert solution.current_A("E1") == pytest.approx(-3.0, abs=1e-12)
    assert solution.power_W("E1") == pytest.approx(-37.8, abs=1e-10)
    assert solution.power_W("R1") == pytest.approx(18.0, abs=1e-10)


def test_the_ground_may_have_any_name() -> None:
    network = Network(ground="chassis").add(
        VoltageSource("E", "a", "chassis", 10.0), Resistor("R", "a", "chassis", 5.0)
    )
    assert network.solve().voltage_V("a") == pytest.approx(10.0)


def test_a_switch_is_absent_when_open_and_a_resistance_when_closed() -> None:
    lamp = [VoltageSource("E", "a", "0", 12.0), Resistor("lamp", "b", "0", 6.0)]
    off = Network().add(*lamp, Switch("S", "a", "b", closed=False)).solve()
    on = Network().add(*lamp, Switch("S", "a", "b", closed=True, resistance_ohm=0.5)).solve()
    assert off.voltage_V("b") == 0.0
    assert off.current_A("S") == 0.0
    assert on.current_A("S") == pytest.approx(12.0 / 6.5)


def test_an_element_can_take_the_place_of_another() -> None:
    network = divider()
    network.replace(Resistor("R1", "a", "b", 4.0))
    assert network.solve().voltage_V("b") == pytest.approx(0.6, abs=1e-12)


def test_an_empty_network_has_its_ground() -> None:
    assert Network().solve().voltage_V("0") == 0.0


def test_a_name_is_given_once_and_a_refused_batch_adds_nothing() -> None:
    network = divider()
    with pytest.raises(CircuitError, match="The name 'R1' is taken"):
        network.add(Resistor("R2", "a", "b", 1.0), Resistor("R1", "a", "b", 1.0))
    assert [element.name for element in network.elements] == ["E1", "R1", "I1"]


def test_replacing_what_is_not_there_is_refused_and_changes_nothing() -> None:
    network = divider()
    with pytest.raises(CircuitError, match="no element 'R2'; did you mean 'R1'"):
        network.replace(Resistor("R1", "a", "b", 9.0), Resistor("R2", "a", "b", 1.0))
    assert network.solve().voltage_V("a", "b") == pytest.approx(6.0)


def test_something_else_than_an_element_is_refused() -> None:
    with pytest.raises(CircuitError, match="is no element"):
        Network().add([Resistor("R", "a", "0", 1.0)])  # type: ignore[arg-type]


@pytest.mark.parametrize("ask", ["voltage_V", "imbalance_A"])
def test_an_unknown_node_is_named_with_the_nearest(ask: str) -> None:
    solution = Network().add(Resistor("R", "left", "0", 1.0)).solve()
    with pytest.raises(CircuitError, match="no node 'leff'; did you mean 'left'"):
        getattr(solution, ask)("leff")


def test_an_unknown_black_node_is_refused_too() -> None:
    with pytest.raises(CircuitError, match="no node 'zzz'; check the spelling"):
        divider().solve().voltage_V("a", "zzz")


def test_an_unknown_element_is_named_with_the_nearest() -> None:
    with pytest.raises(CircuitError, match="no element 'R7'; did you mean 'R1'"):
        divider().solve().current_A("R7")


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf, "2k", None])
def test_a_resistance_that_is_none_is_refused(value: float) -> None:
    with pytest.raises(CircuitError, match=r"'R' has resistance_ohm = .*; give a number above zero"):
        Resistor("R", "a", "b", value)
    with pytest.raises(CircuitError, match="'S' has resistance_ohm"):
        Switch("S", "a", "b", resistance_ohm=value)


@pytest.mark.parametrize("value", [math.nan, math.inf, "12"])
def test_a_source_needs_a_finite_number(value: float) -> None:
    with pytest.raises(CircuitError, match="'E' has voltage_V"):
        VoltageSource("E", "a", "b", value)
    with pytest.raises(CircuitError, match="'I' has current_A"):
        CurrentSource("I", "a", "b", value)


def test_a_load_neither_generates_nor_lacks_a_minimum() -> None:
    with pytest.raises(CircuitError, match="draws 0 W or more"):
        ConstantPower("P", "a", "b", power_W=-5.0, minimum_voltage_V=9.0)
    with pytest.raises(CircuitError, match="minimum_voltage_V = 0"):
        ConstantPower("P", "a", "b", power_W=5.0, minimum_voltage_V=0.0)


@pytest.mark.parametrize("wrong", [{"saturation_A": 0.0}, {"emission": -1.0}, {"temperature_C": -300.0}])
def test_a_diode_needs_values_of_a_junction(wrong: dict[str, float]) -> None:
    with pytest.raises(CircuitError, match=next(iter(wrong))):
        Diode("D", "a", "b", **wrong)


def test_an_element_needs_two_nodes_and_a_name() -> None:
    with pytest.raises(CircuitError, match="'R' joins node 'a' to itself"):
        Resistor("R", "a", "a", 1.0)
    with pytest.raises(CircuitError, match="The name of element '' is ''"):
        Resistor("", "a", "b", 1.0)
    with pytest.raises(CircuitError, match="second node of element 'R' is None"):
        Resistor("R", "a", None, 1.0)  # type: ignore[arg-type]


def test_floating_nodes_are_named() -> None:
    network = divider().add(Resistor("R9", "x", "y", 1.0), CurrentSource("I9", "b", "x", 0.1))
    with pytest.raises(SingularNetwork, match=r"The nodes 'x', 'y' float: .* ground '0'") as caught:
        network.solve()
    assert caught.value.names == ("x", "y")


def test_a_node_behind_an_open_contact_or_an_idle_load_floats() -> None:
    with pytest.raises(SingularNetwork, match="Node 'x' floats"):
        divider().add(Switch("S", "b", "x", closed=False)).solve()
    with pytest.raises(SingularNetwork, match="Node 'x' floats"):
        divider().add(ConstantPower("P", "b", "x", 0.0, 9.0)).solve()


def test_a_network_that_nowhere_touches_ground_floats_as_a_whole() -> None:
    network = Network().add(VoltageSource("E", "a", "b", 12.0), Resistor("R", "a", "b", 1.0))
    with pytest.raises(SingularNetwork) as caught:
        network.solve()
    assert caught.value.names == ("a", "b")


def test_ideal_sources_in_a_loop_are_named() -> None:
    network = divider().add(
        VoltageSource("E2", "a", "c", 1.0),
        VoltageSource("E3", "c", "0", 5.0),
        VoltageSource("E4", "d", "c", 5.0),
    )
    with pytest.raises(SingularNetwork, match="form a closed loop") as caught:
        network.solve()
    assert sorted(caught.value.names) == ["E1", "E2", "E3"]


def test_two_sources_side_by_side_are_a_loop_even_if_they_agree() -> None:
    with pytest.raises(SingularNetwork) as caught:
        divider().add(VoltageSource("E2", "a", "0", 12.6)).solve()
    assert sorted(caught.value.names) == ["E1", "E2"]


def test_a_current_forced_backwards_through_a_diode_has_no_solution() -> None:
    network = Network().add(CurrentSource("I", "0", "a", 2.0), Diode("D", "0", "a"))
    with pytest.raises(NotConverged, match="nonlinear elements 'D'"):
        network.solve()
