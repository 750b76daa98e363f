"""One electrical equilibrium of one draw: wiring folded into its ports, loads solved there, all unfolded."""

from __future__ import annotations

from typing import Any

from parked_hvac.circuit.fold import fold, kept_voltages, unfold
from parked_hvac.rig.kernel.loads import agree, load_count


def solve(
    draw: Any,
    p: Any,
    hand: Any,
    order: Any,
    wiring: Any,
    room: Any,
    siemens: Any,
    source_V: Any,
    volts: Any,
    red: int,
    black: int,
    pushed_A: float,
) -> None:
    """Voltages of all nodes from the conductances and sources as laid; ``volts`` is where Newton starts.

    A current is pushed into node ``red`` and out of ``black``; 0 A for none.
    """
    inflow = room.inflow
    for i in range(len(inflow)):
        inflow[i] = 0.0
    for i in range(len(wiring.sources)):
        branch = wiring.sources[i]
        current = siemens[branch] * source_V[branch]
        inflow[wiring.first[branch]] += current
        inflow[wiring.second[branch]] -= current
    inflow[red] += pushed_A
    inflow[black] -= pushed_A
    fold(order, siemens, inflow, room.edge, room.weight, room.offset)
    count = load_count(hand)
    ports = len(order.kept)
    for i in range(ports):
        room.injection[0][i] = inflow[order.kept[i]]
    for j in range(count):
        for i in range(ports):
            room.injection[1 + j][i] = 0.0
        room.injection[1 + j][wiring.load_plus[j]] = 1.0
        room.injection[1 + j][wiring.load_minus[j]] = -1.0
    kept_voltages(order, room.edge, room.injection, room.port_V, room.coupling, 1 + count)
    for i in range(count):
        plus, minus = wiring.load_plus[i], wiring.load_minus[i]
        room.open_V[i] = room.port_V[0][plus] - room.port_V[0][minus]
        for j in range(count):
            room.resistance[i][j] = room.port_V[1 + j][plus] - room.port_V[1 + j][minus]
        room.across[i] = volts[order.kept[plus]] - volts[order.kept[minus]] if draw.solved else room.open_V[i]
    agree(draw, p, hand, room.open_V, room.resistance, room.across, room.taken_A, room.matrix)
    for i in range(ports):
        found = room.port_V[0][i]
        for j in range(count):
            found -= room.port_V[1 + j][i] * room.taken_A[j]
        volts[order.kept[i]] = found
    volts[len(volts) - 1] = 0.0
    unfold(order, room.weight, room.offset, volts)
