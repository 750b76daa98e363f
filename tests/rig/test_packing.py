"""Trucks put away and taken out again, and time that passes in one go: both are to the last digit as without."""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.rig.faults import draw_parameters
from parked_hvac.rig.kernel.packing import packed
from parked_hvac.rig.truck import COARSE, Truck


def cooling(fault: str = "aux_battery_weak") -> Truck:
    truck = Truck(draw_parameters((fault,), 3, np.random.default_rng(4)), step_scale=COARSE)
    truck.turn_blower(4)
    truck.press_parked_cooling(True)
    truck.advance(75.0)
    return truck


def all_of(truck: Truck) -> list[bytes]:
    load = truck._load
    # Field by field, as there are gaps between those of a record.
    records = [
        array[name] for array in (load.states, load.cells, load.hand) for name in array.dtype.names or ()
    ]
    return [array.tobytes() for array in (*records, load.siemens, load.source_V, load.volts)]


def fuse_pulled(truck: Truck) -> None:
    truck.pull_fuse("F13")


def plug_parted(truck: Truck) -> None:
    truck.part("X31")


def engine_on(truck: Truck) -> None:
    truck.set_key("engine")


@pytest.mark.parametrize("work", [fuse_pulled, plug_parted, engine_on])
def test_do_packed_trucks_go_on_as_if_they_had_not_been(work) -> None:  # type: ignore[no-untyped-def]
    truck = cooling()
    work(truck)
    truck.advance(20.0)
    kept = truck.packed()
    again = kept.truck()
    assert all_of(again) == all_of(truck)
    truck.advance(90.0)
    assert all_of(kept.truck()) != all_of(truck)
    again.advance(90.0)
    assert all_of(again) == all_of(truck)
    again.set_key("on")
    assert truck.controls.key != "on"
    assert kept.truck().controls.key != "on"


def test_do_packed_trucks_take_less_room() -> None:
    load = cooling()._load
    less = packed(load)
    assert less.siemens.nbytes + less.source_V.nbytes < 0.4 * (load.siemens.nbytes + load.source_V.nbytes)
    assert less.figures is load.figures


@pytest.mark.parametrize("fault", ["aux_battery_weak", "m2_open", "k1_contact_burnt"])
def test_is_time_in_one_go_the_time_asked_for_one_by_one(fault: str) -> None:
    one, other = cooling(fault), cooling(fault)
    for _ in range(6):
        one.advance(30.0)
    other.advance(30.0, times=6)
    assert all_of(one) == all_of(other)


def test_does_someone_who_watches_see_all_of_the_time() -> None:
    truck, seen = cooling(), []
    begun = truck.time_s
    truck.advance(30.0, lambda one: seen.append(one.time_s), times=2)
    assert (seen[0], seen[-1]) == (begun, pytest.approx(begun + 60.0))
