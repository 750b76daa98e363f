"""The wiring of each location as data/drawings draws it."""

from __future__ import annotations

from functools import cache
from typing import Any, Literal

import msgspec

from parked_hvac.places import data_dir
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.tables import DataError, nearest, read_table

Point = tuple[float, float]
RoutePoint = str | Point
"""A terminal of the drawing by name, or a place in drawing units."""

NEAREST_UNITS = 24.0
"""Two terminals closer than this could not be told apart by a finger (WCAG 2.2, target size: 24 px)."""


class Enclosure(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A box that a cover can close."""

    label: str
    x: float
    y: float
    w: float
    h: float
    cover: str | None = None


class Part(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A component or bar drawn as a rectangle."""

    x: float
    y: float
    w: float
    h: float
    name: str | None = None
    text: str | None = None
    kind: Literal["component", "battery", "bar", "frame", "dashed"] = "component"
    name_at: Point | None = None
    text_at: Point | None = None
    anchor: Literal["start", "middle", "end"] = "start"


class Place(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where a terminal lies; ``mark`` is what stands beside it, on side n, e, s, w or none."""

    x: float
    y: float
    side: Literal["n", "e", "s", "w", "none"] = "n"
    mark: str | None = None


class Line(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A cable: number, route, what it carries, line width."""

    route: tuple[RoutePoint, ...]
    name: str | None = None
    kind: Literal["supply", "ground", "signal"] = "signal"
    weight: float = 2.0
    tag: Point | None = None


class Link(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A lug or pin between two points; ``connector`` is what a hand parts there."""

    route: tuple[RoutePoint, ...]
    connector: str | None = None
    kind: Literal["supply", "ground", "signal"] = "signal"
    weight: float = 2.0
    tag: Point | None = None


class FusePlace(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A fuse, drawn between its terminals NAME.1 and NAME.2."""

    name: str
    text: str | None = None
    label_at: tuple[float, float, str] | None = None


class Symbol(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A sign of circuit diagrams."""

    kind: Literal[
        "motor",
        "generator",
        "lamp",
        "thermistor",
        "resistor",
        "switch",
        "ground",
        "frame",
        "arrow",
        "back",
        "dot",
    ]
    x: float
    y: float


class Words(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Free words in the drawing."""

    text: str
    x: float
    y: float
    kind: Literal["word", "name", "tag"] = "word"
    anchor: Literal["start", "middle", "end"] = "start"


class Drawing(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One location: everything drawn there, in drawing units, and its description for a listener."""

    title: str
    description: str
    size: Point
    terminals: dict[str, Place]
    enclosure: tuple[Enclosure, ...] = ()
    part: tuple[Part, ...] = ()
    cable: tuple[Line, ...] = ()
    link: tuple[Link, ...] = ()
    fuse: tuple[FusePlace, ...] = ()
    relay: tuple[str, ...] = ()
    symbol: tuple[Symbol, ...] = ()
    text: tuple[Words, ...] = ()

    def cables(self) -> tuple[str, ...]:
        """Numbers of the cables that can be reached here, each once, in the order drawn."""
        return tuple(dict.fromkeys(one.name for one in self.cable if one.name))


@cache
def drawings() -> dict[str, Drawing]:
    """Drawing of each location, in the order of the catalogue. DataError for one that does not hold."""
    found = {}
    for location in catalogue().locations:
        drawing = read_table(data_dir() / "drawings" / f"{location}.toml", Drawing)
        _check(location, drawing)
        found[location] = drawing
    return found


@cache
def drawings_for_screen() -> dict[str, Any]:
    """The same as plain dictionaries, for the picture's script."""
    plain: dict[str, Any] = msgspec.to_builtins(drawings())
    return plain


def _check(location: str, drawing: Drawing) -> None:
    file = f"data/drawings/{location}.toml"
    terminals, cables, fuses = catalogue().terminals, catalogue().cables, catalogue().fuses
    for name in drawing.terminals:
        if name not in terminals:
            raise DataError(f"{file} draws terminal {name!r}; {nearest(name, terminals)}")
        if location not in terminals[name].at:
            raise DataError(
                f"{file} draws terminal {name}, which terminals.toml does not put here; add it there."
            )
    routes = [*(line.route for line in drawing.cable), *(link.route for link in drawing.link)]
    for route in routes:
        for point in route:
            if isinstance(point, str) and point not in drawing.terminals:
                raise DataError(f"{file} leads a line to {point!r}; {nearest(point, drawing.terminals)}")
    for name in drawing.cables():
        if name not in cables:
            raise DataError(f"{file} draws cable {name!r}; {nearest(name, cables)}")
    for one in drawing.link:
        if one.connector is not None and one.connector not in catalogue().connectors:
            raise DataError(
                f"{file} parts {one.connector!r}; {nearest(one.connector, catalogue().connectors)}"
            )
    for fuse in drawing.fuse:
        if fuse.name not in fuses:
            raise DataError(f"{file} draws fuse {fuse.name!r}; {nearest(fuse.name, fuses)}")
