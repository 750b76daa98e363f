"""Is the netlist one that ngspice reads as we mean it?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from parked_hvac.circuit import (
    CircuitError,
    ConstantPower,
    CurrentSource,
    Diode,
    Element,
    Network,
    Resistor,
    Switch,
    VoltageSource,
)
from parked_hvac.circuit.spice import netlist, node_names


def test_names_with_signs_become_plain_ones_and_stand_in_a_comment() -> None:
    network = Network().add(VoltageSource("E 1", "G2+", "0", 12.6), Resistor("R", "G2+", "0", 2.0))
    assert node_names(network) == {"0": "0", "G2+": "n1"}
    deck = netlist(network, "two parts")
    assert deck.startswith("* two parts\n")
    assert "* n1 is node 'G2+'\n" in deck
    assert "v1 n1 0 12.6\n" in deck
    assert "r2 n1 0 2.0\n" in deck


def test_every_kind_of_element_has_its_card() -> None:
    network = Network().add(
        VoltageSource("E", "a", "0", 12.0),
        CurrentSource("I", "a", "0", 1.5),
        Switch("S", "a", "b"),
        Switch("open", "a", "b", closed=False),
        ConstantPower("P", "b", "0", 30.0, 6.0),
        Diode("D", "b", "0", 1e-12, 1.5, 60.0),
    )
    deck = netlist(network, "all kinds")
    assert "i2 n1 0 1.5\n" in deck
    assert "r3 n1 n2 0.001\n" in deck
    assert "\nr4 " not in deck
    assert "b5 n2 0 i = v(n2,0) < 6.0 ? v(n2,0)*30.0/6.0^2 : 30.0/v(n2,0)\n" in deck
    assert "d6 n2 0 model_d6 temp=60.0\n" in deck
    assert ".model model_d6 d(is=1e-12 n=1.5 tnom=60.0)\n" in deck


def test_the_run_ends_with_status_zero_by_command() -> None:
    assert "quit 0\n.endc\n.end\n" in netlist(Network().add(Resistor("R", "a", "0", 1.0)), "title")


def test_numbers_of_numpy_print_as_numbers() -> None:
    network = Network().add(Resistor("R", "a", "0", np.float64(2.5)))
    assert "r1 n1 0 2.5\n" in netlist(network, "title")


def test_a_name_with_a_line_break_stays_inside_its_comment() -> None:
    deck = netlist(Network().add(Resistor("R\nshell reboot", "a\n.end", "0", 1.0)), "title")
    assert all(line.startswith("* ") for line in deck.splitlines() if "shell" in line or ".end'" in line)


def test_a_title_of_two_lines_is_refused() -> None:
    with pytest.raises(CircuitError, match="several lines"):
        netlist(Network(), "one\ntwo")


def test_an_element_without_a_netlist_form_is_refused_by_name() -> None:
    @dataclass(frozen=True)
    class Memristor(Element):
        pass

    with pytest.raises(CircuitError, match="'X' is a Memristor"):
        netlist(Network().add(Memristor("X", "a", "0")), "title")
