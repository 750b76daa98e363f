"""Trucks that are kept for others: they stand as they stood, and what is soonest made again goes first."""

from __future__ import annotations

import numpy as np

from parked_hvac.diagnosis.stops import Stops
from parked_hvac.job.order import order_named
from parked_hvac.job.session import Session
from parked_hvac.rig.parameters import nominal
from parked_hvac.rig.truck import COARSE


def session() -> Session:
    return Session(order_named("night-call"), nominal(2), context=False, step_scale=COARSE)


def test_does_what_is_soonest_made_again_go_first() -> None:
    stops, trucks = Stops(2), session()
    stops.keep("far", trucks, 100.0)
    stops.keep("near", trucks, 1.0)
    stops.keep("middle", trucks, 10.0)
    assert "far" in stops
    assert "near" not in stops
    assert "middle" in stops


def test_does_what_nobody_asks_for_age() -> None:
    """However long the way to it was: each that goes makes those that come later worth more."""
    stops, trucks = Stops(2), session()
    stops.keep("far and forgotten", trucks, 25.0)
    for number in range(5):
        stops.keep(number, trucks, 10.0)
    assert "far and forgotten" in stops
    stops.keep(5, trucks, 10.0)
    assert "far and forgotten" not in stops


def test_does_what_is_asked_for_stay() -> None:
    stops, trucks = Stops(2), session()
    stops.keep("far and known", trucks, 25.0)
    for number in range(12):
        stops.taken_out("far and known")
        stops.keep(number, trucks, 10.0)
    assert "far and known" in stops


def test_do_those_who_go_on_leave_the_kept_as_they_stood() -> None:
    stops, trucks = Stops(4), session()
    trucks.apply("switch_parked_cooling", {"on": True})
    stops.keep("there", trucks, 1.0)
    told = []
    for key in ("engine", None):
        one = stops.taken_out("there")
        if key is not None:
            one.apply("switch_key", {"position": key})
            one.open_covers.add("unit_lid")
        one.truck.advance(60.0)
        told.append(one.truck.voltage_V("T1.+"))
    trucks.truck.advance(60.0)
    assert np.array_equal(told[1], trucks.truck.voltage_V("T1.+"))
    assert not np.array_equal(told[0], told[1])
    assert stops.taken_out("there").open_covers == set()
