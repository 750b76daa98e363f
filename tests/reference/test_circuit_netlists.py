"""Do both solvers find what ngspice printed for three netlists, and does ngspice still print it?

Authority files: ckt_n1.json (divider, ghost voltage), ckt_n1b.json (sensor pull-up), ckt_n2.json (batteries).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from parked_hvac.circuit import CurrentSource, Network, Reduction, Resistor, VoltageSource
from tests.circuit.ngspice import run

N2_STATES = {
    "healthy": {},
    "high_ground": {"Rgfault": 25e-3},
    "bad_link_contact": {"RcB": 20e-3},
    "no_load": {"Iload": 0.0},
}


def authority(repository: Path, name: str) -> dict[str, Any]:
    text = (repository / "tests" / "reference" / "authorities" / f"{name}.json").read_text(encoding="utf-8")
    found: dict[str, Any] = json.loads(text)
    return found


@pytest.mark.parametrize(
    ("value", "upper_ohm", "lower_ohm", "meter_ohm"),
    [
        ("loaded_by_10_Mohm", 1e6, 1e6, 10e6),
        ("unloaded", 1e6, 1e6, 1e15),
        ("ghost_on_10_Mohm", 1e6, 1e15, 10e6),
        ("ghost_on_3_kohm", 1e6, 1e15, 3e3),
    ],
)
def test_n1_divider_and_ghost_voltage(
    repository: Path, value: str, upper_ohm: float, lower_ohm: float, meter_ohm: float
) -> None:
    reference = authority(repository, "ckt_n1")
    network = Network().add(
        VoltageSource("Vbat", "b", "0", 12.6),
        Resistor("R1", "b", "m", upper_ohm),
        Resistor("R2", "m", "0", lower_ohm),
        Resistor("Rmeter", "m", "0", meter_ohm),
    )
    expected = pytest.approx(reference["value"][value], abs=reference["tolerance"])
    assert network.solve().voltage_V("m") == expected
    # The reduction adds 1e-12 S to ground, which moves a node behind 1 megohm by 12.6 V * 1e-6 at most.
    plan = Reduction.plan([("m", "0"), ("m", "0"), ("m", "0")], [], "0")
    reduced = plan.reduce(
        np.array([[1 / upper_ohm], [1 / lower_ohm], [1 / meter_ohm]]), {"m": 12.6 / upper_ohm}
    )
    tolerance = reference["tolerance"] + 12.6e-6
    assert reduced.back(reduced.solve())["m"][0] == pytest.approx(reference["value"][value], abs=tolerance)


@pytest.mark.parametrize(
    ("value", "sensor_ohm", "meter_ohm"),
    [("with_meter", 10e3, 10e6), ("without_meter", 10e3, 1e15), ("sensor_open", 1e15, 10e6)],
)
def test_n1b_sensor_pull_up(repository: Path, value: str, sensor_ohm: float, meter_ohm: float) -> None:
    reference = authority(repository, "ckt_n1b")
    network = Network().add(
        VoltageSource("Vref", "r", "0", 5.0),
        Resistor("Rpu", "r", "s", 2490.0),
        Resistor("Rntc", "s", "0", sensor_ohm),
        Resistor("Rmeter", "s", "0", meter_ohm),
    )
    assert network.solve().voltage_V("s") == pytest.approx(
        reference["value"][value], abs=reference["tolerance"]
    )


@pytest.mark.parametrize("state", N2_STATES)
def test_n2_two_batteries_by_the_network_solver(repository: Path, state: str) -> None:
    solution = _two_batteries(N2_STATES[state]).solve()
    found = {
        "across_load": solution.voltage_V("load", "lneg"),
        "ground_drop": solution.voltage_V("lneg", "neg"),
        "feed_drop": solution.voltage_V("bus", "load"),
        "I_A": -solution.current_A("VA"),
        "I_B": -solution.current_A("VB"),
        "post_A": solution.voltage_V("a1", "an"),
        "post_B": solution.voltage_V("c1", "cn"),
    }
    _compare(found, authority(repository, "ckt_n2"), state)


def test_n2_two_batteries_by_the_reduction_all_states_at_once(repository: Path) -> None:
    values = [_two_batteries(changes) for changes in N2_STATES.values()]
    names = [e.name for e in values[0].elements if isinstance(e, Resistor)]
    # A battery is its internal resistance with the current of a short circuit beside it (Norton).
    inside = {"RiA": ("an", "a1"), "RiB": ("cn", "c1")}
    branches = [inside.get(n, (values[0].element(n).a, values[0].element(n).b)) for n in names]
    conductance = np.array([[1.0 / _ohm(network, name) for network in values] for name in names])
    short_A, short_B = 12.70 / 5e-3, 12.55 / 6e-3
    load = np.array([changes.get("Iload", 60.0) for changes in N2_STATES.values()])
    inflow = {"a1": short_A, "c1": short_B, "cn": -short_B, "load": -load, "lneg": load}
    plan = Reduction.plan(branches, ["load", "lneg"], "an")
    reduced = plan.reduce(conductance, inflow)
    kept = reduced.solve()
    volts = reduced.back(kept) | {"load": kept[:, 0], "lneg": kept[:, 1]}
    for place, state in enumerate(N2_STATES):
        at = {node: voltage[place] for node, voltage in volts.items()}
        found = {
            "across_load": at["load"] - at["lneg"],
            "ground_drop": at["lneg"] - at["neg"],
            "feed_drop": at["bus"] - at["load"],
            "I_A": (12.70 - at["a1"]) / 5e-3,
            "I_B": (12.55 - (at["c1"] - at["cn"])) / 6e-3,
            "post_A": at["a1"],
            "post_B": at["c1"] - at["cn"],
        }
        _compare(found, authority(repository, "ckt_n2"), state)


@pytest.mark.parametrize("name", ["ckt_n1", "ckt_n1b"])
def test_ngspice_still_prints_the_voltages_on_file(
    repository: Path, ngspice: str, tmp_path: Path, name: str
) -> None:
    reference = authority(repository, name)
    printed = [pair for pair in run(ngspice, "\n".join(reference["netlist"]), tmp_path) if pair[0][0] == "v"]
    assert len(printed) == len(reference["printed"])
    for (expression, value), meaning in zip(printed, reference["printed"], strict=True):
        expected = reference["value"][meaning[expression]]
        assert value == pytest.approx(expected, abs=reference["tolerance"])


def test_ngspice_still_prints_the_two_batteries_on_file(
    repository: Path, ngspice: str, tmp_path: Path
) -> None:
    reference = authority(repository, "ckt_n2")
    printed = run(ngspice, "\n".join(reference["netlist"]), tmp_path)
    starts = [number for number, (expression, _) in enumerate(printed) if expression == "v(a1)"]
    assert len(starts) == len(N2_STATES)
    for state, start, end in zip(N2_STATES, starts, [*starts[1:], len(printed)], strict=True):
        at = dict(printed[start:end])
        # The netlist of the state without load leaves out two of the differences.
        at.setdefault("v(lneg)-v(neg)", 0.0)
        at.setdefault("v(bus)-v(load)", at["v(bus)"] - at["v(load)"])
        at |= {"-i(va)": -at["i(va)"], "-i(vb)": -at["i(vb)"]}
        _compare({meaning: at[text] for text, meaning in reference["printed"].items()}, reference, state)


def _compare(found: dict[str, float], reference: dict[str, Any], state: str) -> None:
    expected = reference["value"][state]
    assert sorted(found) == sorted(expected)
    for name, value in found.items():
        tolerance = reference["tolerance"]["A" if name.startswith("I_") else "V"]
        assert value == pytest.approx(expected[name], abs=tolerance), name


def _two_batteries(changes: dict[str, float]) -> Network:
    ohm = {"RcB": 0.30e-3, "Rgfault": 1e-6} | changes
    return Network(ground="an").add(
        VoltageSource("VA", "a0", "an", 12.70),
        Resistor("RiA", "a0", "a1", 5e-3),
        Resistor("RcA", "a1", "bus", 0.30e-3),
        VoltageSource("VB", "c0", "cn", 12.55),
        Resistor("RiB", "c0", "c1", 6e-3),
        Resistor("RcB", "c1", "lk", ohm["RcB"]),
        Resistor("Rlink", "lk", "bus", 0.20e-3),
        Resistor("RnA", "an", "neg", 0.20e-3),
        Resistor("RnB", "cn", "nlk", 0.30e-3),
        Resistor("Rnlink", "nlk", "neg", 0.20e-3),
        Resistor("Rfeed", "bus", "p1", 2.77e-3),
        Resistor("Rfuse", "p1", "p2", 0.50e-3),
        Resistor("Rpcon", "p2", "load", 0.20e-3),
        CurrentSource("Iload", "load", "lneg", changes.get("Iload", 60.0)),
        Resistor("Rgnd", "lneg", "chs", 3.0e-3),
        Resistor("Rgfault", "chs", "neg", ohm["Rgfault"]),
    )


def _ohm(network: Network, name: str) -> float:
    resistor = network.element(name)
    assert isinstance(resistor, Resistor)
    return resistor.resistance_ohm
