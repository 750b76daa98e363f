"""Where the kernel's branches, terminals and loads stand in the wiring of data/rig."""

from __future__ import annotations

from functools import cache
from typing import Any, NamedTuple

import numpy as np

from parked_hvac.circuit.fold import Order
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.harness import GROUND, PHASES, PORTS, RELAYS, harness
from parked_hvac.rig.kernel.numbers import BRANCHES, LOADS, TAPS
from parked_hvac.rig.kernel.records import SENSORS


class Wiring(NamedTuple):
    """Rows of whole numbers (arrays or lists): branches by their row, terminals by their node."""

    first: Any  # (branches,) nodes at both ends
    second: Any
    branch: Any  # of numbers.BRANCHES
    contact: Any  # of the relays K1 to K4
    coil: Any
    bead: Any  # of the sensors B1 to B3
    reference: Any  # their sources in the controller
    leg_high: Any  # of the drive's phases
    leg_low: Any
    cell: Any  # of the batteries
    sources: Any  # all branches with a source
    tap_red: Any  # of numbers.TAPS
    tap_black: Any
    load_plus: Any  # place of each load among the ports
    load_minus: Any
    # how the wiring is folded anew where it moved, see refold.py
    moving_branch: Any  # branches whose conductance changes at every step
    lasting: Any  # all others ...
    switched: Any  # ... and those of them that change now and then
    standing: Any  # pivots in whose neighbourhood nothing changes at every step
    moving: Any  # the other pivots
    followed: Any  # pivots whose voltage is asked for at every step, with those that it takes to find it
    all: Any  # all pivots


@cache
def nodes() -> dict[str, int]:
    """Terminal → number of its node; the ground is the last."""
    plan = harness().plan
    return {name: number for number, name in enumerate((*plan.nodes, GROUND))}


@cache
def order() -> Order:
    """In which order the nodes are folded away."""
    return harness().plan.order


@cache
def wiring() -> Wiring:
    """The numbers of the present wiring."""
    row, node = harness().row, nodes()
    sensors = [f"B{i + 1}" for i in range(SENSORS)]
    cells = catalogue().batteries()
    sources = [f"ref {name}" for name in sensors]
    sources += BRANCHES[BRANCHES.index("ref S1") :]
    sources += cells
    rows = (
        [node[a] for a, _ in harness().ends],
        [node[b] for _, b in harness().ends],
        [row[name] for name in BRANCHES],
        [row[f"contact {name}"] for name in RELAYS],
        [row[f"coil {name}"] for name in RELAYS],
        [row[name] for name in sensors],
        [row[f"ref {name}"] for name in sensors],
        [row[f"leg {phase} high"] for phase in PHASES],
        [row[f"leg {phase} low"] for phase in PHASES],
        [row[name] for name in cells],
        [row[name] for name in sources],
        [node[red] for red, _ in TAPS],
        [node[black] for _, black in TAPS],
        [PORTS.index(plus) for plus, _ in LOADS],
        [PORTS.index(minus) for _, minus in LOADS],
    )
    return Wiring(*(np.array(numbers, dtype=np.int64) for numbers in (*rows, *_folding(rows))))


def _folding(rows: tuple[list[int], ...]) -> tuple[list[int], ...]:
    """The last rows of `Wiring`, from those before them."""
    first, second, branch, contact, coil, bead, reference, high, low, cell, _, red, black, *_ = rows
    how = order()
    moving_branch = [*bead, *cell]
    switched = sorted({*branch, *contact, *reference, *high, *low})
    changed = {int(how.branch_edge[i]) for i in moving_branch}
    standing, moving = [], []
    for i in range(how.pivot.size):
        spokes = how.spoke_edge[how.start[i] : how.start[i + 1]].tolist()
        pairs = len(spokes) * (len(spokes) - 1) // 2
        if changed.isdisjoint(spokes):
            standing.append(i)
        else:
            moving.append(i)
            changed.update(how.target[how.pair[i] : how.pair[i] + pairs].tolist())
    asked = {*red, *black}
    for i in (*coil, *cell):
        asked |= {first[i], second[i]}
    followed = []
    for i in range(how.pivot.size):
        if int(how.pivot[i]) in asked:
            followed.append(i)
            asked.update(how.spoke_node[how.start[i] : how.start[i + 1]].tolist())
    lasting = [i for i in range(len(first)) if i not in moving_branch]
    return (
        moving_branch,
        lasting,
        switched,
        standing,
        moving,
        followed,
        list(range(how.pivot.size)),
    )
