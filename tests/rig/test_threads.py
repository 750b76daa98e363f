"""Does a truck show the same while another is at work beside it, as a learner's is while the judge does the job again?"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from parked_hvac.rig.kernel import engine, plain
from parked_hvac.rig.parameters import nominal
from parked_hvac.rig.truck import Truck

TIMES = 40
"""Readings of each; with a room in common, some of the first ten were wrong."""


@pytest.fixture(autouse=True)
def _hurried(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Threads take turns as often as Python can, in plain Python whatever ran before."""
    monkeypatch.setattr(engine, "_COMPILED", "not loaded")
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    yield
    sys.setswitchinterval(before)


def shown(blower: int) -> list[float]:
    """Volts of the auxiliary bank, second by second."""
    truck = Truck(nominal(1))
    truck.set_key("on")
    truck.press_parked_cooling(blower > 0)
    truck.turn_blower(blower)
    readings = []
    for _ in range(TIMES):
        truck.advance(1.0)
        readings.append(float(truck.probe("G2+", "G2-")[0]))
    return readings


def test_do_trucks_in_two_threads_keep_out_of_each_others_way() -> None:
    alone = [shown(blower) for blower in (0, 5)]
    assert not np.array_equal(*alone)  # otherwise one could not spoil the other
    with ThreadPoolExecutor(2) as pool:
        assert list(pool.map(shown, (0, 5))) == alone


def test_has_each_thread_a_room_of_its_own() -> None:
    with ThreadPoolExecutor(1) as pool:
        assert pool.submit(plain._lists).result()[2] is not plain._lists()[2]
