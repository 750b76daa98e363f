"""How many minutes each step takes, as data/rig/labour.toml tells it."""

from __future__ import annotations

from functools import cache

import msgspec

from parked_hvac.places import data_dir
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.tables import DataError, nearest, read_table


class Kind(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Unit, range and source of all figures of one kind."""

    unit: str
    range: tuple[float, float]
    source: str


class CoverLabour(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Minutes to take a cover off and to put it back."""

    open: float
    close: float


class ConnectorLabour(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Minutes to part and to seat a connector of one kind."""

    part: float
    seat: float


class Labour(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All labour times."""

    kinds: dict[str, Kind]
    verbs: dict[str, float]
    prepare: dict[str, float]
    covers: dict[str, CoverLabour]
    connectors: dict[str, ConnectorLabour]


@cache
def labour() -> Labour:
    """The labour times, read once and checked against the truck's covers and connectors. Raises DataError."""
    read = read_table(data_dir() / "rig" / "labour.toml", Labour)
    given = {
        "verb": [*read.verbs.values(), *read.prepare.values()],
        "cover": [minutes for cover in read.covers.values() for minutes in (cover.open, cover.close)],
        "connector": [minutes for kind in read.connectors.values() for minutes in (kind.part, kind.seat)],
    }
    for kind, values in given.items():
        if kind not in read.kinds:
            raise DataError(f"labour.toml: kind {kind!r} has no range; {nearest(kind, read.kinds)}")
        low, high = read.kinds[kind].range
        for minutes in values:
            if not low <= minutes <= high:
                raise DataError(f"labour.toml: {minutes} min for a {kind}; give {low} to {high}.")
    for cover in catalogue().covers:
        if cover not in read.covers:
            raise DataError(f"labour.toml: cover {cover!r} has no times; add [covers.{cover}].")
    for name, connector in catalogue().connectors.items():
        if connector.kind not in read.connectors:
            raise DataError(
                f"labour.toml: connector {name} is a {connector.kind!r}; add [connectors.{connector.kind}]."
            )
    return read
