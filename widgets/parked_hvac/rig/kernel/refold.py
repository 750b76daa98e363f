"""The wiring folded anew where it moved: what holds still between two moments is folded once.

While time passes only batteries and sensors change their conductance at every step; contacts move now and then, cables
never. A node whose neighbourhood holds still leaves with the same shares as before, so that two thirds of the
wiring are folded again only when a contact has moved. See circuit/fold.py for the folding itself.
"""

from __future__ import annotations

from typing import Any

from parked_hvac.circuit.fold import carry, lay, leak, leave


def forget(room: Any) -> None:
    """Another draw, or hands have moved something: nothing is known to hold still."""
    room.known[0] = 0.0


def fold(order: Any, wiring: Any, room: Any, siemens: Any, inflow: Any) -> None:
    """Remove every node that is not kept; as ``circuit.fold.fold``, with ``room`` for what it fills in."""
    edge, lasting = room.edge, room.lasting
    if not _holds(wiring.switched, siemens, room.laid, room.known):
        for i in range(len(lasting)):
            lasting[i] = 0.0
        lay(order, wiring.lasting, siemens, lasting)
        leak(order, lasting)
        leave(order, wiring.standing, lasting, room.weight, room.total)
    for i in range(len(edge)):
        edge[i] = lasting[i]
    lay(order, wiring.moving_branch, siemens, edge)
    leave(order, wiring.moving, edge, room.weight, room.total)
    carry(order, room.weight, room.total, inflow, room.offset)


def _holds(switched: Any, siemens: Any, laid: Any, known: Any) -> bool:
    """Whether all is as it was folded last; notes how it is now."""
    same = bool(known[0] > 0.0)
    known[0] = 1.0
    for i in range(len(switched)):
        now = siemens[switched[i]]
        same = bool(same and now == laid[i])
        laid[i] = now
    return same
