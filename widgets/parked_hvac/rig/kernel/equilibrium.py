"""One electrical equilibrium of one draw: wiring folded into its ports, loads solved there, all unfolded."""

from __future__ import annotations

from typing import Any

from parked_hvac.circuit.fold import kept_voltages, unfold
from parked_hvac.rig.kernel.loads import MOST_LOADS, agree, load_count
from parked_hvac.rig.kernel.refold import fold


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
    """Voltages of the nodes that the truck's parts follow, from conductances and sources as laid.

    ``volts`` is where Newton starts; ``spread`` gives the other nodes theirs. A current is pushed into node
    ``red`` and out of ``black``; 0 A for none.
    """
    inflow, injection, port_V, open_V = room.inflow, room.injection, room.port_V, room.open_V
    resistance, across, taken_A = room.resistance, room.across, room.taken_A
    sources, first, second, kept = wiring.sources, wiring.first, wiring.second, order.kept
    load_plus, load_minus = wiring.load_plus, wiring.load_minus
    for i in range(len(inflow)):
        inflow[i] = 0.0
    for i in range(len(sources)):
        branch = sources[i]
        current = siemens[branch] * source_V[branch]
        inflow[first[branch]] += current
        inflow[second[branch]] -= current
    inflow[red] += pushed_A
    inflow[black] -= pushed_A
    fold(order, wiring, room, siemens, inflow)
    count = load_count(hand)
    ports = len(kept)
    for i in range(ports):
        injection[i] = inflow[kept[i]]
    for j in range(count):
        begin = (1 + j) * ports
        for i in range(ports):
            injection[begin + i] = 0.0
        injection[begin + load_plus[j]] = 1.0
        injection[begin + load_minus[j]] = -1.0
    kept_voltages(order, room.edge, injection, port_V, room.coupling, 1 + count)
    for i in range(count):
        plus, minus = load_plus[i], load_minus[i]
        open_V[i] = port_V[plus] - port_V[minus]
        for j in range(count):
            begin = (1 + j) * ports
            resistance[i * MOST_LOADS + j] = port_V[begin + plus] - port_V[begin + minus]
        across[i] = volts[kept[plus]] - volts[kept[minus]] if draw.solved else open_V[i]
    agree(draw, p, hand, open_V, resistance, across, taken_A, room.matrix)
    for i in range(ports):
        found = port_V[i]
        for j in range(count):
            found -= port_V[(1 + j) * ports + i] * taken_A[j]
        volts[kept[i]] = found
    volts[len(volts) - 1] = 0.0
    unfold(order, wiring.followed, room.weight, room.offset, volts)


def spread(order: Any, wiring: Any, room: Any, volts: Any) -> None:
    """Voltages of all nodes, after ``solve`` for the same draw."""
    unfold(order, wiring.all, room.weight, room.offset, volts)
