"""The wiring folded anew where it moved, against all of it folded from the beginning."""

from __future__ import annotations

import sys

import numpy as np
import pytest

from parked_hvac.circuit.fold import Order, fold, unfold
from parked_hvac.rig.kernel import plain, refold
from parked_hvac.rig.kernel.room import Room, room
from parked_hvac.rig.kernel.wiring import Wiring, order, wiring
from parked_hvac.rig.parameters import nominal
from parked_hvac.rig.truck import Truck


def in_lists() -> tuple[Order, Wiring, Room]:
    how, where, space = order(), wiring(), room()
    return (
        Order(*(row.tolist() for row in how)),
        Wiring(*(row.tolist() for row in where)),
        Room(*(row.tolist() for row in space)),
    )


def test_is_what_was_folded_before_as_good_as_all_folded_anew() -> None:
    how, where, space = in_lists()
    generator = np.random.default_rng(5)
    siemens = (10.0 ** generator.uniform(-6.0, 3.0, len(where.first))).tolist()
    nodes = len(how.ground_edge)
    refold.forget(space)
    for _ in range(4):
        # Now a battery and a sensor, now and then a contact: as a truck's conductances move.
        for branch in where.moving_branch:
            siemens[branch] *= float(generator.uniform(0.8, 1.25))
        if generator.random() < 0.5:
            siemens[where.contact[0]] = 0.0 if siemens[where.contact[0]] else 500.0
        inflow = generator.normal(size=nodes + 1).tolist()
        anew = list(inflow)
        refold.fold(how, where, space, siemens, inflow)
        edge, weight = [0.0] * len(space.edge), [0.0] * len(space.weight)
        offset = [0.0] * len(space.offset)
        fold(how, siemens, anew, edge, weight, offset)
        volts = [0.0] * (nodes + 1)
        for kept in how.kept:
            volts[kept] = 1.0
            # Only the order of additions differs: some rounding of double precision in sums of a dozen.
            assert inflow[kept] == pytest.approx(anew[kept], rel=1e-10, abs=1e-12)
        other = list(volts)
        unfold(how, where.all, space.weight, space.offset, volts)
        unfold(how, range(len(how.pivot)), weight, offset, other)
        assert volts == pytest.approx(other, rel=1e-9)


def test_are_all_that_a_truck_follows_given_their_voltages_at_each_step() -> None:
    how, where, _ = in_lists()
    asked = {*where.tap_red, *where.tap_black}
    for branch in (*where.coil, *where.cell):
        asked |= {where.first[branch], where.second[branch]}
    found = {how.pivot[i] for i in where.followed} | set(how.kept) | {len(how.ground_edge)}
    assert asked <= found
    assert sorted(where.standing + where.moving) == where.all


def test_do_plain_and_compiled_kernel_show_the_same_volts(monkeypatch: pytest.MonkeyPatch) -> None:
    from parked_hvac.rig.kernel import compiled

    def driven() -> Truck:
        truck = Truck(nominal(2))
        truck.set_key("engine")
        truck.turn_blower(4)
        truck.advance(90.0)
        truck.set_key("off")
        truck.press_parked_cooling(True)
        truck.advance(45.0)
        return truck

    def volts(truck: Truck) -> list[float]:
        return [
            float(truck.voltage_V(a, b)[0]) for a, b in (("G2+", "G2-"), ("T1.+", "T1.-"), ("K0.B1", "X0"))
        ]

    fast = volts(driven())
    monkeypatch.setattr(compiled, "run", plain.run)
    assert "parked_hvac.rig.kernel.compiled" in sys.modules
    # The compiler may join products and sums, so that last digits differ; a ten-thousandth of what a meter shows does not.
    assert volts(driven()) == pytest.approx(fast, abs=1e-6)
