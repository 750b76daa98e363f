"""What the training truck is made of: places, terminals, wiring, as data/rig tells it."""

from __future__ import annotations

from functools import cache
from typing import Any

import msgspec

from parked_hvac.places import data_dir
from parked_hvac.tables import DataError, nearest, read_table


class Cover(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A lid that hides terminals until it is taken off."""

    label: str
    location: str


class Connector(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A lug or plug that parts by hand; ``opens`` names the contacts that part with it."""

    label: str
    location: str
    opens: tuple[str, ...]
    kind: str
    cover: str | None = None


class Terminal(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A place a probe can touch; ``at`` lists the locations whose drawings show it."""

    label: str
    at: tuple[str, ...]
    cover: str | None = None

    @property
    def location(self) -> str:
        """The location it is listed under first."""
        return self.at[0]


class Cable(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"start": "from", "end": "to"}):
    """A copper cable between two terminals."""

    start: str
    end: str
    length_m: float
    area_mm2: float
    break_ohm: float = 0.0


class Contact(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"start": "from", "end": "to"}):
    """A lug or pin: two nodes joined by a contact resistance."""

    start: str
    end: str
    resistance_ohm: float


class Resistor(
    msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"start": "from", "end": "to"}
):
    """A fixed resistance inside a component."""

    start: str
    end: str
    resistance_ohm: float


class Fuse(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"start": "from", "end": "to"}):
    """A fuse in its holder; pulled, it opens."""

    label: str
    start: str
    end: str
    rating_A: float
    resistance_ohm: float
    holder_ohm: float
    location: str
    cover: str | None = None


class Relay(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A relay; its terminals are NAME.30, NAME.87 (contact) and NAME.86, NAME.85 (coil), as in DIN 72552."""

    contact_ohm: float
    coil_ohm: float


class Figure(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A number with unit, valid range, spread from truck to truck and source.

    ``spread`` is one sigma, relative unless ``absolute``; relative spreads are log-normal.
    """

    value: float
    unit: str
    range: tuple[float, float]
    source: str
    spread: float = 0.0
    absolute: bool = False


class Kind(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Range, spread and source that all figures of one kind of wiring share."""

    range: tuple[float, float]
    spread: float
    source: str


class Bank(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Equal batteries in parallel."""

    batteries: int
    chemistry: str
    parameters: dict[str, Figure]


class SpecEntry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One line of the printed spec sheet; a line with limits can be judged against."""

    text: str
    section: str
    function: str | None = None
    red: str | None = None
    black: str | None = None
    state: str | None = None
    low: float | None = None
    high: float | None = None
    unit: str | None = None


class _Places(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    locations: dict[str, str]
    covers: dict[str, Cover]
    connectors: dict[str, Connector]


class _Wiring(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    kinds: dict[str, dict[str, Kind]]
    cable: dict[str, Cable]
    contact: dict[str, Contact]
    fuse: dict[str, Fuse]
    relay: dict[str, Relay]
    resistor: dict[str, Resistor]


class _Components(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    banks: dict[str, Bank]
    parameters: dict[str, Figure]


class Catalogue(msgspec.Struct, frozen=True):
    """Everything data/rig says, read once and checked."""

    locations: dict[str, str]
    covers: dict[str, Cover]
    connectors: dict[str, Connector]
    terminals: dict[str, Terminal]
    cables: dict[str, Cable]
    contacts: dict[str, Contact]
    fuses: dict[str, Fuse]
    relays: dict[str, Relay]
    resistors: dict[str, Resistor]
    banks: dict[str, Bank]
    figures: dict[str, Figure]
    spec_sheet: dict[str, SpecEntry]

    def batteries(self) -> tuple[str, ...]:
        """Names of all single batteries, such as 'G2.4'."""
        return tuple(f"{name}.{i}" for name, bank in self.banks.items() for i in range(1, bank.batteries + 1))

    def terminal(self, name: str) -> Terminal:
        """The terminal of that name; DataError names the nearest one for an unknown name."""
        if name not in self.terminals:
            raise DataError(f"No terminal is called {name!r}; {nearest(name, self.terminals)}")
        return self.terminals[name]


@cache
def catalogue() -> Catalogue:
    """The training truck as data/rig describes it, read once. Raises DataError."""
    folder = data_dir() / "rig"
    places = read_table(folder / "places.toml", _Places)
    terminals = read_table(folder / "terminals.toml", dict[str, Terminal])
    wiring = read_table(folder / "wiring.toml", _Wiring)
    components = read_table(folder / "components.toml", _Components)
    spec_sheet = read_table(folder / "spec-sheet.toml", dict[str, SpecEntry])
    made = Catalogue(
        locations=places.locations,
        covers=places.covers,
        connectors=places.connectors,
        terminals=terminals,
        cables=wiring.cable,
        contacts=wiring.contact,
        fuses=wiring.fuse,
        relays=wiring.relay,
        resistors=wiring.resistor,
        banks=components.banks,
        figures=_all_figures(wiring, components),
        spec_sheet=spec_sheet,
    )
    _check(made)
    return made


def _all_figures(wiring: _Wiring, components: _Components) -> dict[str, Figure]:
    figures = dict(components.parameters)
    for name, bank in components.banks.items():
        for i in range(1, bank.batteries + 1):
            for field, figure in bank.parameters.items():
                figures[f"{name}.{i}.{field}"] = figure
    tables: dict[str, dict[str, Any]] = {
        "cable": dict(wiring.cable),
        "contact": dict(wiring.contact),
        "fuse": dict(wiring.fuse),
        "relay": dict(wiring.relay),
        "resistor": dict(wiring.resistor),
    }
    for kind, fields in wiring.kinds.items():
        for name, record in tables[kind].items():
            for field, shared in fields.items():
                unit = field.rpartition("_")[2]
                figures[f"{kind}.{name}.{field}"] = Figure(
                    value=getattr(record, field),
                    unit=unit,
                    range=shared.range,
                    source=shared.source,
                    spread=shared.spread,
                )
    return figures


def _check(made: Catalogue) -> None:
    for name, figure in made.figures.items():
        low, high = figure.range
        if not low <= figure.value <= high:
            raise DataError(
                f"{name} is {figure.value} but its range is {low} to {high}; correct one of them."
            )
    for name, terminal in made.terminals.items():
        for location in terminal.at:
            if location not in made.locations:
                raise DataError(f"Terminal {name} is at {location!r}; {nearest(location, made.locations)}")
        if terminal.cover is not None and terminal.cover not in made.covers:
            raise DataError(
                f"Terminal {name} is under {terminal.cover!r}; {nearest(terminal.cover, made.covers)}"
            )
    for name, connector in made.connectors.items():
        for contact in connector.opens:
            if contact not in made.contacts:
                raise DataError(f"Connector {name} opens {contact!r}; {nearest(contact, made.contacts)}")
