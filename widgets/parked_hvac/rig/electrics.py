"""One electrical equilibrium of the truck: wiring folded into its ports, loads solved there by Newton."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from parked_hvac.rig.harness import GROUND, PORTS, harness
from parked_hvac.rig.parameters import Floats

Load = Callable[[Floats], tuple[Floats, Floats]]
"""Voltage across a load (B,) → its current and the slope of it, both (B,)."""

_STEPS = 40
_TOLERANCE_V = 1e-6
"""The last move of Newton's; what is still wrong after it is of the order of its square."""
FEW_DRAWS = 8
"""Up to so many draws every one gets the finest steps; more are the judge's, side by side."""
_STEPS_OF_MANY = 12
_TOLERANCE_OF_MANY_V = 1e-4
"""A draw at the kink of a load halves its way in; many others need not wait for its last digit."""
_LARGEST_STEP_V = 4.0  # what Newton may move at once: a load that browns out has a kink


@dataclass(frozen=True)
class PortLoad:
    """A load between two ports; its current flows from ``plus`` through the load to ``minus``."""

    plus: str
    minus: str
    law: Load


class Equilibrium:
    """Voltages of all nodes against the frame, and the currents that follow."""

    def __init__(
        self, voltages: dict[str, Floats], conductance_S: Floats, injected: Mapping[str, Floats]
    ) -> None:
        self.voltages = voltages
        self.conductance_S = conductance_S
        self._injected = injected
        """Branch → current of its source, pushed out of its first node's side into that node; (B,)."""

    def voltage_V(self, red: str, black: str = GROUND) -> Floats:
        """Voltage of ``red`` against ``black``, (B,)."""
        return self.voltages[red] - self.voltages[black]

    def current_A(self, branch: str) -> Floats:
        """Current through a branch from its first to its second node, (B,)."""
        layout = harness()
        row = layout.row[branch]
        a, b = layout.ends[row]
        through = self.conductance_S[row] * self.voltage_V(a, b)
        return np.asarray(through - self._injected.get(branch, 0.0))


def solve(
    conductance_S: Floats,
    sources: Mapping[str, Floats],
    loads: tuple[PortLoad, ...],
    start: Mapping[str, Floats] | None = None,
    extra: Mapping[str, Floats] | None = None,
) -> Equilibrium:
    """Solve the whole wiring.

    conductance_S: (branches, B). sources: branch → voltage behind its conductance, (B,), positive at
    its first node. extra: node → current pushed into it, (B,). start: voltages to begin
    from, such as the last ones.
    """
    layout = harness()
    injected = {name: conductance_S[layout.row[name]] * voltage for name, voltage in sources.items()}
    pushed: dict[str, Floats] = {}
    for name, current in injected.items():
        a, b = layout.ends[layout.row[name]]
        pushed[a] = pushed.get(a, 0.0) + current
        pushed[b] = pushed.get(b, 0.0) - current
    for node, current in (extra or {}).items():
        pushed[node] = pushed.get(node, 0.0) + current
    reduced = layout.plan.reduce(conductance_S, pushed)
    matrix, inflow = reduced.matrix_S, reduced.injection_A
    first = None
    if start is not None:
        first = np.stack([start[port] for port in PORTS], axis=1)  # a copy, which Newton may change
    ports = _newton(matrix, inflow, loads, first)
    voltages = dict(reduced.back(ports))
    for i, port in enumerate(PORTS):
        voltages[port] = ports[:, i]
    voltages[GROUND] = np.zeros(conductance_S.shape[1])
    return Equilibrium(voltages, conductance_S, injected)


def _newton(matrix: Floats, inflow: Floats, loads: tuple[PortLoad, ...], start: Floats | None) -> Floats:
    incidence = np.zeros((len(loads), len(PORTS)))
    for i, load in enumerate(loads):
        incidence[i, PORTS.index(load.plus)] = 1.0
        incidence[i, PORTS.index(load.minus)] = -1.0
    voltage = start if start is not None else np.linalg.solve(matrix, inflow[..., None])[..., 0]
    outer = np.einsum("li,lj->lij", incidence, incidence).reshape(len(loads), -1)
    few = voltage.shape[0] <= FEW_DRAWS
    tolerance = _TOLERANCE_V if few else _TOLERANCE_OF_MANY_V
    left = np.arange(voltage.shape[0])  # draws that have not settled yet
    for step in range(_STEPS if few else _STEPS_OF_MANY):
        across = voltage @ incidence.T
        laws = [load.law(across[:, i]) for i, load in enumerate(loads)]
        current = np.stack([law[0] for law in laws], axis=1)[left]
        slope = np.stack([law[1] for law in laws], axis=1)[left]
        residual = (matrix[left] @ voltage[left][..., None])[..., 0] + current @ incidence - inflow[left]
        jacobian = matrix[left] + (slope @ outer).reshape(left.size, len(PORTS), len(PORTS))
        move = np.linalg.solve(jacobian, residual[..., None])[..., 0]
        largest = np.abs(move).max(axis=1)
        # Halving from the sixth step on ends the to and fro across a kink.
        damping = np.minimum(1.0, _LARGEST_STEP_V / np.maximum(largest, 1e-300)) * (1.0 if step < 6 else 0.5)
        voltage[left] = voltage[left] - move * damping[:, None]
        left = left[largest > tolerance]
        if left.size == 0:
            break
    return np.asarray(voltage)
