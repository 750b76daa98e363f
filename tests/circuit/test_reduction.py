"""Does the small network left by a reduction stand for the large one?"""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parked_hvac.circuit import LEAK_S, CurrentSource, Network, Reduced, Reduction, Resistor

CHAIN = [("a", "x"), ("x", "y"), ("y", "b"), ("b", "0")]


def column(*values: float) -> np.ndarray:
    return np.array(values)[:, None]


def voltages(reduced: Reduced) -> dict[str, np.ndarray]:
    kept = reduced.solve()
    return reduced.back(kept) | {node: kept[:, place] for place, node in enumerate(reduced.keep)}


def test_resistors_in_a_row_become_one() -> None:
    reduced = Reduction.plan(CHAIN, ["a", "b"], "0").reduce(column(0.5, 0.25, 0.2, 0.1))
    # By hand: 2 + 4 + 5 = 11 ohm between a and b; the leaks of 1e-12 S do not show at 1e-10.
    assert reduced.keep == ("a", "b")
    assert reduced.matrix_S.shape == (1, 2, 2)
    np.testing.assert_allclose(reduced.matrix_S[0], [[1 / 11, -1 / 11], [-1 / 11, 1 / 11 + 0.1]], rtol=1e-10)


def test_branches_between_the_same_nodes_add_up_in_either_direction() -> None:
    plan = Reduction.plan([("a", "b"), ("b", "a"), ("a", "b"), ("b", "0")], ["a", "b"], "0")
    reduced = plan.reduce(column(1.0, 2.0, 4.0, 3.0))
    np.testing.assert_allclose(reduced.matrix_S[0], [[7, -7], [-7, 10]], rtol=1e-11)


def test_a_current_into_a_removed_node_moves_to_its_neighbours() -> None:
    plan = Reduction.plan(CHAIN, ["a", "b"], "0")
    reduced = plan.reduce(column(0.5, 0.25, 0.2, 0.1), {"x": 3.0, "a": 1.0, "0": 99.0})
    # By hand: x lies 2 ohm from a and 9 ohm from b, so 9/11 of its current goes to a.
    np.testing.assert_allclose(reduced.injection_A, [[1.0 + 3.0 * 9 / 11, 3.0 * 2 / 11]], rtol=1e-10)


def test_removed_nodes_get_their_voltages_back() -> None:
    plan = Reduction.plan(CHAIN, ["a"], "0")
    reduced = plan.reduce(column(0.5, 0.25, 0.2, 0.1), {"a": 2.0})
    kept = reduced.solve()
    # By hand: 2 A through 10, 5, 4 and 2 ohm from ground upwards.
    np.testing.assert_allclose(kept, [[42.0]], rtol=1e-9)
    back = reduced.back(kept)
    assert sorted(back) == ["b", "x", "y"]
    np.testing.assert_allclose([back["b"], back["y"], back["x"]], [[20.0], [30.0], [38.0]], rtol=1e-9)


def test_an_open_branch_leaves_its_far_side_at_rest() -> None:
    plan = Reduction.plan([("a", "x"), ("x", "y"), ("a", "0")], ["a"], "0")
    reduced = plan.reduce(column(0.0, 5.0, 1.0), {"a": 12.0})
    back = reduced.back(reduced.solve())
    assert back["x"][0] == back["y"][0] == 0.0


def test_a_floating_group_has_the_voltage_that_the_leak_gives() -> None:
    plan = Reduction.plan([("x", "y"), ("a", "0")], ["a"], "0")
    reduced = plan.reduce(column(5.0, 1.0), {"x": 2e-12})
    # Two nodes leak 1e-12 S each, so 2e-12 A raise them to 1 V.
    assert reduced.back(reduced.solve())["y"][0] == pytest.approx(2e-12 / (2 * LEAK_S), rel=1e-10)


def test_every_node_may_be_removed_or_kept() -> None:
    conductance, inflow = column(0.5, 0.25, 0.2, 0.1), {"a": 2.0, "y": -0.5}
    none = voltages(Reduction.plan(CHAIN, [], "0").reduce(conductance, inflow))
    every = voltages(Reduction.plan(CHAIN, ["y", "a", "b", "x"], "0").reduce(conductance, inflow))
    for node in "abxy":
        np.testing.assert_allclose(none[node], every[node], rtol=1e-12)


def test_draws_side_by_side_equal_draws_one_by_one() -> None:
    rng = np.random.default_rng(7)
    branches = _tree_with_chords(rng, 40, 12)
    plan = Reduction.plan(branches, ["n3", "n17", "n30"], "0")
    conductance = 10 ** rng.uniform(-9, 4, (len(branches), 9))
    inflow = {"n5": rng.normal(size=9), "n17": rng.normal(size=9)}
    together = voltages(plan.reduce(conductance, inflow))
    for draw in range(9):
        alone = voltages(
            plan.reduce(conductance[:, draw : draw + 1], {n: i[draw : draw + 1] for n, i in inflow.items()})
        )
        for node, voltage in together.items():
            # The same operations in the same order; only the order within a sum of few may differ.
            np.testing.assert_allclose(voltage[draw], alone[node][0], rtol=1e-13)


def test_one_more_branch_is_as_if_it_had_been_there() -> None:
    given = column(0.5, 0.25, 0.2, 0.1)
    small = Reduction.plan(CHAIN, ["a", "b"], "0").reduce(given, {"x": 1.0})
    larger = Reduction.plan([*CHAIN, ("b", "a"), ("a", "0")], ["a", "b"], "0").reduce(
        np.vstack([given, column(0.7, 0.3)]), {"x": 1.0, "b": -2.0, "a": 2.0}
    )
    probed = small.with_branch("b", "a", 0.7, current_A=2.0).with_branch("a", "0", np.array([0.3]))
    np.testing.assert_allclose(probed.matrix_S, larger.matrix_S, rtol=1e-12)
    np.testing.assert_allclose(probed.solve(), larger.solve(), rtol=1e-12)
    np.testing.assert_allclose(probed.back(probed.solve())["x"], larger.back(larger.solve())["x"], rtol=1e-12)
    assert small.coupling_S[0, 0, 1] == pytest.approx(1 / 11)  # the first one stays as it was


def test_a_branch_to_ground_in_either_direction() -> None:
    small = Reduction.plan(CHAIN, ["a", "b"], "0").reduce(column(0.5, 0.25, 0.2, 0.1))
    up, down = small.with_branch("0", "a", 0.7, 2.0), small.with_branch("a", "0", 0.7, -2.0)
    np.testing.assert_array_equal(up.solve(), down.solve())
    same = small.with_branch("a", "a", 0.7, 2.0)
    np.testing.assert_array_equal(same.solve(), small.solve())


@pytest.mark.parametrize(
    ("branches", "keep", "sentence"),
    [
        ([("a", "a")], [], "Branch 0 joins node 'a' to itself"),
        (CHAIN, ["0"], "The ground '0' is always kept"),
        (CHAIN, ["q"], "Node 'q' cannot be kept"),
        (CHAIN, ["a", "b", "a"], "Node 'a' is named twice in keep"),
    ],
)
def test_a_plan_that_cannot_be_is_refused(
    branches: list[tuple[str, str]], keep: list[str], sentence: str
) -> None:
    with pytest.raises(ValueError, match=sentence):
        Reduction.plan(branches, keep, "0")


@pytest.mark.parametrize("wrong", [-1e-30, np.nan, np.inf])
def test_a_conductance_that_is_none_is_refused_with_its_place(wrong: float) -> None:
    given = np.ones((4, 3))
    given[2, 1] = wrong
    with pytest.raises(ValueError, match=re.escape(f"Branch 2 has {wrong} S in draw 1")):
        Reduction.plan(CHAIN, ["a"], "0").reduce(given)
    with pytest.raises(ValueError, match="from 'a' to '0' has no finite conductance"):
        Reduction.plan(CHAIN, ["a"], "0").reduce(np.ones((4, 1))).with_branch("a", "0", wrong)


@pytest.mark.parametrize("shape", [(4,), (3, 2), (4, 0), (4, 2, 1)])
def test_conductances_of_another_shape_are_refused(shape: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match=re.escape(f"shape {shape}; give (4, B)")):
        Reduction.plan(CHAIN, ["a"], "0").reduce(np.ones(shape))


def test_unknown_nodes_are_refused() -> None:
    plan = Reduction.plan(CHAIN, ["a"], "0")
    with pytest.raises(ValueError, match="The current into 'q' has nowhere to go"):
        plan.reduce(np.ones((4, 1)), {"q": 1.0})
    reduced = plan.reduce(np.ones((4, 1)))
    with pytest.raises(ValueError, match="Node 'x' was not kept; the kept nodes are a"):
        reduced.with_branch("x", "0", 1.0)
    with pytest.raises(ValueError, match=re.escape("shape (1, 2); give (1, 1)")):
        reduced.back(np.ones((1, 2)))


@settings(deadline=None)
@given(st.integers(0, 10**6), st.integers(2, 45), st.integers(0, 12))
def test_the_reduction_agrees_with_the_network_solver(seed: int, size: int, chords: int) -> None:
    """Two ways that share no code: star-mesh here, an inverted tableau with all currents there."""
    rng = np.random.default_rng(seed)
    branches = _tree_with_chords(rng, size, chords)
    conductance = 10 ** rng.uniform(-6, 3, len(branches))
    nodes = [f"n{number}" for number in range(size)]
    keep = [str(node) for node in rng.choice(nodes, min(size, 4), replace=False)]
    inflow = {str(rng.choice(nodes)): float(rng.normal()) for _ in range(3)}
    network = Network()
    for number, ((a, b), value) in enumerate(zip(branches, conductance, strict=True)):
        network.add(Resistor(f"R{number}", a, b, 1.0 / value))
    for node in nodes:
        network.add(Resistor(f"leak {node}", node, "0", 1.0 / LEAK_S))
    for node, current in inflow.items():
        network.add(CurrentSource(f"I {node}", "0", node, current))
    solution = network.solve()
    found = voltages(Reduction.plan(branches, keep, "0").reduce(conductance[:, None], inflow))
    assert sorted(found) == sorted(nodes)
    span = max(abs(solution.voltage_V(node)) for node in nodes)
    for node in nodes:
        # Currents of both signs may cancel, so the tolerance follows the greatest voltage; the solver
        # itself is good for 1e-10 at a spread of 1e9 between conductances.
        assert found[node][0] == pytest.approx(solution.voltage_V(node), rel=1e-9, abs=1e-9 * span)


def _tree_with_chords(rng: np.random.Generator, size: int, chords: int) -> list[tuple[str, str]]:
    branches = [("n0", "0")]
    branches += [(f"n{number}", f"n{rng.integers(max(0, number - 8), number)}") for number in range(1, size)]
    for _ in range(chords):
        a, b = rng.integers(0, size, 2)
        branches.append((f"n{a}", f"n{b}" if a != b else "0"))
    return branches
