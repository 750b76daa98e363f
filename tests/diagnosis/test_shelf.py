"""Predictions that processes share: one finds what another has put, whole and the same, or works it out itself."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from parked_hvac.diagnosis import shelf as shelves
from parked_hvac.diagnosis import solution as solutions
from parked_hvac.diagnosis import walk as walks
from parked_hvac.diagnosis.cast import cast_of
from parked_hvac.diagnosis.checks import checks
from parked_hvac.diagnosis.prediction import Prediction, foretelling
from parked_hvac.diagnosis.predictions import Step
from parked_hvac.diagnosis.shelf import Shelf
from parked_hvac.diagnosis.walk import Walk
from parked_hvac.job.order import order_named

VALUES = np.array([[1.0, np.nan], [2.5, 3.0]])
WORDS = np.array([["", "OL"], ["", ""]])
ORDER = order_named("night-call")
STEPS = [
    Step(1, "open_cover", {"cover": "feed_panel_cover"}),
    Step(2, "place_leads", {"function": "dc_volts", "red": "X11.1", "black": "X11.4"}),
    Step(3, "hold", {"mode": "max"}),
    Step(4, "switch_key", {"position": "on"}),
    Step(5, "measure", {}),
    Step(6, "look", {"location": "bunk"}),
]


def same(one: Prediction, other: Prediction) -> bool:
    return one.vocabulary == other.vocabulary and all(
        np.array_equal(getattr(one, name), getattr(other, name), equal_nan=True)
        for name in ("values", "said", "sigma")
    )


@pytest.mark.parametrize("sigma", [np.full((2, 2), 0.1), np.array([[0.1, 0.2], [0.3, 0.4]])])
def test_is_a_prediction_found_as_it_was_put(sigma: Any, tmp_path: Path) -> None:
    told = foretelling(VALUES, WORDS, sigma)
    Shelf(tmp_path).put("a", told)
    found = Shelf(tmp_path).get("a")
    assert found is not None
    assert same(found, told)
    assert Shelf(tmp_path).get("b") is None


def test_are_words_found_as_they_were_put(tmp_path: Path) -> None:
    Shelf(tmp_path).put_words("a way", ["off: look bunk", "°C"])
    assert Shelf(tmp_path).words("a way") == ("off: look bunk", "°C")
    assert Shelf(tmp_path).words("another") is None
    (file,) = tmp_path.iterdir()
    for spoiled in (b"", b"[", b"12", file.read_bytes()[:-1]):
        file.write_bytes(spoiled)
        assert Shelf(tmp_path).words("a way") is None


def test_is_a_usual_way_looked_for_by_one_process_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another's is taken where it holds checks that exist, and looked for where it does not."""
    own = (checks()[3], checks()[5])
    asked: list[str] = []
    monkeypatch.setattr(solutions, "_looked_for", lambda order, cause: (asked.append(cause), own)[1])
    monkeypatch.setattr(walks, "_shelf", Shelf(tmp_path))
    look = solutions.usual_way.__wrapped__
    assert look(ORDER, "k1_coil_open") == look(ORDER, "k1_coil_open") == own
    assert asked == ["k1_coil_open"]
    Shelf(tmp_path).put_words(f"usual way {ORDER.id} k1_coil_open", ["no check"])
    assert look(ORDER, "k1_coil_open") == own
    assert look(ORDER, "s1_open") == own
    assert asked == ["k1_coil_open", "k1_coil_open", "s1_open"]


def test_does_nothing_half_written_or_spoiled_count(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    shelf.put("a", foretelling(VALUES, WORDS, np.full((2, 2), 0.1)))
    (file,) = tmp_path.iterdir()
    whole = file.read_bytes()
    for spoiled in (b"", whole[: len(whole) // 2], b"nonsense", whole.replace(b"values", b"falues")):
        file.write_bytes(spoiled)
        assert shelf.get("a") is None
    gone = Shelf(tmp_path / "gone")
    gone.put("a", foretelling(VALUES, WORDS, np.full((2, 2), 0.1)))
    assert gone.get("a") is None


def test_does_a_class_that_shares_little_not_fill_the_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shelves, "MOST", 2)
    shelf = Shelf(tmp_path)
    for name in "abc":
        shelf.put(name, foretelling(VALUES, WORDS, np.full((2, 2), 0.1)))
    assert len(list(tmp_path.iterdir())) == 2
    assert shelf.get("c") is None


def test_does_a_second_walk_find_all_readings_of_the_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(walks, "_shelf", Shelf(tmp_path))
    first = Walk(ORDER, cast_of(ORDER, 2)).foretell(STEPS)
    monkeypatch.setattr(Walk, "_begun", lambda _: pytest.fail("trucks were moved again"))
    other = Walk(ORDER, cast_of(ORDER, 2)).foretell(STEPS)
    assert first.keys() == other.keys() == {5, 6}
    assert all(same(first[n], other[n]) for n in first)


def test_are_readings_told_apart_by_the_way_to_them(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """By controls and the times between them, by the time since, the causes that go on, and the number of trucks."""
    monkeypatch.setattr(walks, "_shelf", Shelf(tmp_path))
    on = Step(1, "switch_key", {"position": "on"})
    look = Step(2, "look", {"location": "bunk"})
    codes = Step(3, "read_codes", {})
    lid = Step(4, "open_cover", {"cover": "feed_panel_cover"})  # takes time, and no truck feels it
    ways: list[tuple[int, list[Step | tuple[int, ...]]]] = [
        (2, [look]),
        (2, [codes]),
        (2, [lid, look]),
        (2, [on, look]),
        (2, [lid, on, look]),
        (2, [on, lid, look]),
        (2, [on, (0, 1, 2), look]),
        (2, [on, (0, 1, 3), look]),
        (3, [on, look]),
    ]
    for count, steps in ways:
        way = Walk(ORDER, cast_of(ORDER, count)).way()
        for step in steps:
            if isinstance(step, Step):
                way.take(step)
            else:
                way.only(step)
    assert len(list(tmp_path.iterdir())) == len(ways)


def test_is_a_way_named_alike_in_every_process() -> None:
    """Text of a set would come in an order that each process throws anew."""
    covers = frozenset({"unit_lid", "aux_bank_lid", "feed_panel_cover"})
    way = ("held", covers, ("dc_volts", "G2+", "G2-"))
    assert walks._plain(way) == repr(["held", sorted(covers), ("dc_volts", "G2+", "G2-")])


def test_is_a_way_of_thousands_of_controls_named_too() -> None:
    node = walks.Node(None, ())
    for number in range(5000):
        node = node.then(30.0, ("do", "set_blower", ("step", number % 6)))
    assert len(node.name) == 64
    assert node.name != node.before[0].name  # type: ignore[index]
