from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

from parked_hvac.diagnosis import walk as walks
from parked_hvac.diagnosis.candidates import NOTHING, together
from parked_hvac.diagnosis.cast import Cast
from parked_hvac.diagnosis.prediction import Prediction
from parked_hvac.diagnosis.predictions import Step, prediction
from parked_hvac.diagnosis.walk import Walk
from parked_hvac.job.order import order_named
from parked_hvac.job.session import Session
from parked_hvac.rig.truck import Truck

CAST = Cast(tuple(together((name,)) for name in (NOTHING, "k1_contact_burnt", "lug_corroded_unit_ground")), 3)
ON: tuple[tuple[str, Mapping[str, Any]], ...] = (
    ("switch_key", {"position": "on"}),
    ("switch_parked_cooling", {"on": True}),
    ("set_blower", {"step": 4}),
    ("wait", {"seconds": 60.0}),
)
FEED = ("measure", {"function": "dc_volts", "red": "X20", "black": "X22"})
GROUND = ("measure", {"function": "dc_volts", "red": "X22", "black": "X0"})


def steps(*actions: tuple[str, Mapping[str, Any]]) -> list[Step]:
    return [Step(n, verb, arguments) for n, (verb, arguments) in enumerate(actions, 1)]


def same(one: Prediction, other: Prediction, within: float = 0.0, most: float = 1.0) -> bool:
    """Whether at least a share ``most`` of the draws show the same."""
    near = np.abs(np.nan_to_num(one.values) - np.nan_to_num(other.values)) <= within
    return bool((near & (one.words == other.words)).mean() >= most)


def walked() -> Walk:
    return Walk(order_named("night-call"), CAST)


def test_does_a_walk_show_what_a_session_of_the_same_trucks_shows() -> None:
    """Covers, preparation and verdicts are left out of a walk, and time between them passes in one go."""
    prepared = ("prepare", {"step": "chock_wheels"}), ("prepare", {"step": "rings_off"})
    actions = steps(
        *prepared, *ON, ("feel", {"location": "bunk"}), ("open_cover", {"cover": "unit_lid"}), FEED, GROUND
    )
    told = walked().foretell(actions)
    session = Session(order_named("night-call"), CAST.trucks(), context=False)
    for step in actions:
        event = session.apply(step.verb, step.arguments)
        if event.reading is not None:
            # One count of the meter: the steps of time differ where it passes in one go. A compressor that cycles may
            # so stand elsewhere in its cycle at that moment, as one of the nine does.
            assert same(
                told[step.n], prediction(step.verb, event.reading, CAST.count), within=0.0101, most=8 / 9
            ), step
    assert sorted(told) == [7, 9, 10]


def test_do_attempts_that_begin_alike_share_what_was_worked_out(monkeypatch: pytest.MonkeyPatch) -> None:
    walk = walked()
    walk.foretell(steps(*ON))
    # Trucks are kept on the way once a second attempt shows that the walk is shared.
    first = walk.foretell(steps(*ON, FEED, GROUND))
    # The same minutes in another order, of things that trucks do not feel.
    monkeypatch.setattr(walks, "_done", lambda _s, token, _n: pytest.fail(f"{token} was done again"))
    second = walk.foretell(steps(*ON, GROUND, FEED))
    third = walk.foretell(steps(*ON, FEED))
    assert third[5] is first[5]
    assert same(second[5], walk.foretell(steps(*ON, GROUND))[5])


def test_does_a_reading_show_the_same_whatever_was_read_before_it() -> None:
    """Trucks stop at the same moments, read or not; so attempts share what they show, and none gains by a reading more."""
    lamp, air = ("listen", {"location": "bunk"}), ("thermometer", {"point": "bunk air"})
    read = walked().foretell(steps(*ON, FEED, air, lamp, lamp, GROUND))
    echoes = [Step(n, *FEED, echo=True) for n in (6, 7)]
    passed = walked().foretell([*steps(*ON, FEED), *echoes, Step(8, *GROUND)])
    assert sorted(passed) == [5, 8]
    # Two half minutes and one whole, in any order, or two whole ones in which nothing new is read.
    assert same(read[9], walked().foretell(steps(*ON, FEED, lamp, air, lamp, GROUND))[9])
    assert same(read[9], passed[8])
    assert not same(read[9], walked().foretell(steps(*ON, FEED, GROUND))[6])


def test_is_a_truck_read_between_two_stops_where_it_would_be_without_them() -> None:
    """Twelve seconds of preparation more, then the meter: the trucks go on from the last stop."""
    late = ("prepare", {"step": "rings_off"})
    walk = walked()
    told = walk.foretell(steps(*ON, FEED, late, FEED, FEED, GROUND))
    again = walk.foretell(steps(*ON, FEED, late, GROUND, FEED, GROUND))
    assert same(told[9], again[9])
    session = Session(order_named("night-call"), CAST.trucks(), context=False)
    session.open_covers.add("unit_lid")
    for step in steps(*ON, FEED, late):
        session.apply(step.verb, step.arguments)
    shown = session.apply(*FEED).reading
    assert shown is not None
    assert same(told[7], prediction("measure", shown, CAST.count), within=0.0101)


def test_does_it_make_no_difference_who_went_before(monkeypatch: pytest.MonkeyPatch) -> None:
    """A score must not depend on whose attempt was graded first, nor on what was still kept."""
    alone = walked().foretell(steps(*ON, FEED, GROUND))
    monkeypatch.setattr(walks, "KEPT_TRUCKS", 1)
    monkeypatch.setattr(walks, "KEPT_READINGS", 1)
    walk = walked()
    walk.foretell(steps(*ON, ("switch_key", {"position": "off"}), GROUND))
    walk.foretell(steps(ON[0], ("change_meter", {}), FEED))
    after = walk.foretell(steps(*ON, FEED, GROUND))
    assert all(same(alone[n], after[n]) for n in alone)


def test_do_the_trucks_of_some_causes_show_alone_what_they_show_among_all() -> None:
    """Causes past counting are left behind; the others must not notice, nor those who still take all of them."""
    walk = walked()
    both = walk.foretell(steps(*ON, FEED, GROUND, ("switch_key", {"position": "off"}), GROUND))
    way = walk.way()
    told = [way.take(step) for step in steps(*ON, FEED)]
    way.only([1, 2])
    told += [way.take(step) for step in steps(GROUND)]
    way.only([2])
    told += [way.take(step) for step in steps(("switch_key", {"position": "off"}), GROUND)]
    places = {4: [0, 1, 2], 5: [1, 2], 7: [2]}
    for at, among in places.items():
        assert same(told[at], both[at + 1].of(np.array(among)))
    again = walk.foretell(steps(*ON, FEED, GROUND, ("switch_key", {"position": "off"}), GROUND))
    assert all(same(again[n], both[n]) for n in both)


def test_do_the_places_stay_where_most_ways_begin(monkeypatch: pytest.MonkeyPatch) -> None:
    """A way longer than what is kept was once walked from its middle again at each of its readings."""
    monkeypatch.setattr(walks, "KEPT_TRUCKS", 3)
    walk = walked()
    walk.foretell(steps(*ON, FEED))
    actions = steps(*ON, *[FEED] * 8)
    done: list[float] = []
    advance = Truck.advance
    monkeypatch.setattr(
        Truck,
        "advance",
        lambda truck, seconds, watch=None, times=1: (
            done.append(seconds * times),
            advance(truck, seconds, watch, times),
        )[1],
    )
    walk.foretell(actions)
    # Each minute once, and none of it again for the next reading.
    assert sum(done) == pytest.approx(60.0 * 7, abs=30.0)


def test_are_trucks_of_orders_done_with_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    """A debrief or a best path may hold the walk for long; two dozen orders once held nineteen gigabytes."""
    monkeypatch.setattr(walks, "cast_of", lambda order, draws: CAST)
    monkeypatch.setattr(walks, "_walks", OrderedDict())
    first = walks.walk_of(order_named("night-call"))
    told = first.foretell(steps(*ON, FEED))
    assert len(first._stops)
    second, third = (walks.walk_of(order_named(name)) for name in ("first-look", "no-relief"))
    assert not len(first._stops)
    assert walks.walk_of(order_named("first-look")) is second  # what was asked for last stays
    again = walks.walk_of(order_named("night-call"))
    assert again is not first
    assert walks.walk_of(order_named("no-relief")) is not third
    assert same(again.foretell(steps(*ON, FEED))[5], told[5])


def test_does_a_held_extreme_follow_the_leads() -> None:
    placed = ("place_leads", {"function": "dc_volts", "red": "X20", "black": "X22"})
    actions = steps(
        ("open_cover", {"cover": "unit_lid"}),
        placed,
        ("hold", {"mode": "min"}),
        *ON,
        ("measure", {}),
        ("hold", {"mode": "none"}),
        ("measure", {}),
    )
    told = walked().foretell(actions)
    session = Session(order_named("night-call"), CAST.trucks(), context=False)
    shown = [(step.n, session.apply(step.verb, step.arguments).reading) for step in actions]
    for n, reading in shown:
        if reading is not None:
            assert same(told[n], prediction("measure", reading, CAST.count), within=0.0101)
    assert sorted(told) == [8, 10]


def test_do_two_meters_show_different_volts_for_the_same_truck() -> None:
    told = walked().foretell(steps(*ON, FEED, ("change_meter", {}), FEED))
    assert not same(told[5], told[7])


def test_do_trucks_stopped_half_way_mislead_nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where moving them fails, one learner goes without a score; the next must not go on from where they stopped."""
    walk, way = walked(), (*ON, FEED, ("set_blower", {"step": 1}), ("wait", {"seconds": 90.0}), GROUND)
    walk.foretell(steps(*ON, FEED))
    advance = Truck.advance

    def half_way(truck: Truck, seconds: float, *more: Any, **others: Any) -> None:
        advance(truck, 0.5 * seconds, *more, **others)
        raise ArithmeticError("planted")

    with monkeypatch.context() as planted:
        planted.setattr(Truck, "advance", half_way)
        with pytest.raises(ArithmeticError):
            walk.foretell(steps(*way))
    told, alone = walk.foretell(steps(*way)), walked().foretell(steps(*way))
    assert all(same(told[n], alone[n]) for n in alone)
