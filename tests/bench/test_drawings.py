"""Does every picture show what the truck has, each thing once and apart from the next?

Source of the least distance: WCAG 2.2, success criterion 2.5.8 (24 CSS pixels; at 1280 a drawing unit is
about one pixel).
"""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from parked_hvac.bench.drawings import NEAREST_UNITS, Drawing, Place, drawings
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.tables import DataError

LOCATIONS = sorted(catalogue().locations)


def crowded(drawing: Drawing) -> list[tuple[str, str]]:
    return [
        (a, b)
        for (a, p), (b, q) in combinations(drawing.terminals.items(), 2)
        if math.hypot(p.x - q.x, p.y - q.y) < NEAREST_UNITS
    ]


@pytest.mark.parametrize("location", LOCATIONS)
def test_every_terminal_of_the_place_is_drawn(location: str) -> None:
    here = {name for name, terminal in catalogue().terminals.items() if location in terminal.at}
    assert set(drawings()[location].terminals) == here


@pytest.mark.parametrize("location", LOCATIONS)
def test_no_two_terminals_overlap(location: str) -> None:
    assert crowded(drawings()[location]) == []


def test_the_check_of_overlap_can_fail() -> None:
    two = {"A": Place(x=10, y=10), "B": Place(x=20, y=20)}
    assert crowded(Drawing(title="", description="", size=(100, 100), terminals=two)) == [("A", "B")]


@pytest.mark.parametrize("location", LOCATIONS)
def test_terminals_lie_inside_the_sheet(location: str) -> None:
    drawing = drawings()[location]
    width, height = drawing.size
    margin = 6.5  # radius of a drawn terminal
    for name, place in drawing.terminals.items():
        assert margin <= place.x <= width - margin, name
        assert margin <= place.y <= height - margin, name


@pytest.mark.parametrize("location", LOCATIONS)
def test_covered_terminals_lie_under_their_cover_and_free_ones_beside_it(location: str) -> None:
    drawing = drawings()[location]
    boxes = {box.cover: box for box in drawing.enclosure}
    for name, place in drawing.terminals.items():
        cover = catalogue().terminals[name].cover
        for key, box in boxes.items():
            inside = box.x <= place.x <= box.x + box.w and box.y <= place.y <= box.y + box.h
            assert inside == (key == cover), f"{name} and {key}"
        assert cover is None or cover in boxes


def test_every_cable_fuse_connector_and_relay_is_seen_somewhere() -> None:
    seen: dict[str, set[str]] = {"cable": set(), "fuse": set(), "connector": set(), "relay": set()}
    for drawing in drawings().values():
        seen["cable"] |= set(drawing.cables())
        seen["fuse"] |= {fuse.name for fuse in drawing.fuse}
        seen["connector"] |= {link.connector for link in drawing.link if link.connector}
        seen["relay"] |= set(drawing.relay)
    assert seen["cable"] == set(catalogue().cables)
    assert seen["fuse"] == set(catalogue().fuses)
    assert seen["connector"] == set(catalogue().connectors)
    assert seen["relay"] == set(catalogue().relays)


@pytest.mark.parametrize("location", LOCATIONS)
def test_a_cable_drawn_between_terminals_ends_at_its_own(location: str) -> None:
    for line in drawings()[location].cable:
        if line.name is None:
            continue
        cable = catalogue().cables[line.name]
        drawn = {point for point in (line.route[0], line.route[-1]) if isinstance(point, str)}
        assert drawn <= {cable.start, cable.end}, line.name


@pytest.mark.parametrize("location", LOCATIONS)
def test_each_sheet_has_words_for_a_listener(location: str) -> None:
    drawing = drawings()[location]
    assert drawing.title == catalogue().locations[location]
    assert len(drawing.description.split()) >= 8


def test_a_misspelt_terminal_is_refused_with_the_nearest(tmp_path, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    import shutil

    from parked_hvac.bench import drawings as module
    from parked_hvac.places import data_dir

    shutil.copytree(data_dir(), tmp_path / "data")
    file = tmp_path / "data" / "drawings" / "cab.toml"
    file.write_text(file.read_text(encoding="utf-8").replace('"F6.1" =', '"F6.11" ='), encoding="utf-8")
    monkeypatch.setenv("PARKED_HVAC_DATA", str(tmp_path / "data"))
    module.drawings.cache_clear()
    try:
        with pytest.raises(DataError, match=r"cab\.toml draws terminal 'F6\.11'; did you mean 'F6\.1'\?"):
            drawings()
    finally:
        module.drawings.cache_clear()
