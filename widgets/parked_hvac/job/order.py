"""Work orders: complaint, conditions and the causes an order may draw from."""

from __future__ import annotations

from functools import cache

import msgspec

from parked_hvac.job.errors import OrderError
from parked_hvac.job.skills import skills
from parked_hvac.places import data_dir
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.faults import faults
from parked_hvac.tables import DataError, nearest, read_table

NOTHING_WRONG = "nothing_wrong"
_LIMITS = (
    ("outside_C", -40.0, 55.0),
    ("relative_humidity", 0.0, 1.0),
    ("sun_hour", 0.0, 24.0),
    ("engine_off_h", 0.0, 200.0),
    ("aux_charge", 0.0, 1.0),
    ("start_charge", 0.0, 1.0),
    ("bunk_C", -40.0, 70.0),
    ("occupants", 0, 4),
)


class MeterInHand(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The meter that lies on the bench when the order starts; a spare one is in the tool box."""

    gain_error: float
    """Relative error of this meter; a sound one keeps to a few thousandths."""


class Order(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A work order."""

    id: str
    title: str
    complaint: str
    truck: str
    history: str
    lesson: str
    difficulty: int
    pool: tuple[str | tuple[str, ...], ...]
    """Fault ids to draw from; a group of ids is drawn together."""
    conditions: Conditions
    skills: tuple[str, ...]
    meter: MeterInHand | None = None
    also: tuple[tuple[str, ...], ...] = ()
    """Groups that no truck has and that the judge weighs all the same: else one half of a pair would give the other away."""
    likely: tuple[str, ...] = ()
    """Faults, families or groups that such a complaint speaks for; the judge gives them more weight from the start ..."""
    unlikely: tuple[str, ...] = ()
    """... and those that it can hardly come from. Whoever reads the complaint knows both."""
    deal: str = ""
    """Orders with the same word here are dealt together: each learner finds one fault in one of them, two in another and
    none in the third, and which is which is the learner's own."""

    @property
    def causes(self) -> tuple[tuple[str, ...], ...]:
        """The pool as groups of fault ids, most of one; a group in the order of the alphabet, as conclusions are."""
        return tuple((entry,) if isinstance(entry, str) else tuple(sorted(entry)) for entry in self.pool)

    @property
    def weighed(self) -> tuple[tuple[str, ...], ...]:
        """The groups that the judge weighs: those of the pool, and those that might be."""
        return (*self.causes, *(tuple(sorted(group)) for group in self.also))


KINDS = ("one", "two", "none")
"""How many faults a truck can have."""


def kind_of(group: tuple[str, ...]) -> str:
    """Which of KINDS a group of the pool is."""
    return "none" if group == (NOTHING_WRONG,) else KINDS[min(len(group), 2) - 1]


@cache
def orders() -> dict[str, Order]:
    """Every work order of data/work-orders by id, easiest first. Raises DataError."""
    found = [_read(path.stem) for path in sorted((data_dir() / "work-orders").glob("*.toml"))]
    return {order.id: order for order in sorted(found, key=lambda order: (order.difficulty, order.id))}


def order_named(name: str) -> Order:
    """The work order of that id; OrderError names the nearest for an unknown one."""
    if name not in orders():
        raise OrderError(f"No work order is called {name!r}; {nearest(name, orders())}")
    return orders()[name]


def _read(stem: str) -> Order:
    path = data_dir() / "work-orders" / f"{stem}.toml"
    order = read_table(path, Order)
    if order.id != stem:
        raise DataError(f"{path.name}: the order calls itself {order.id!r}; give file and id the same name.")
    if not order.pool:
        raise DataError(f"{path.name}: the pool is empty; name at least one fault.")
    for cause in (fault for group in order.weighed for fault in group):
        if cause not in faults():
            raise DataError(f"{path.name}: the pool names {cause!r}; {nearest(cause, faults())}")
    kinds = {kind for known in faults().values() for kind in known.kinds}
    for word in (*order.likely, *order.unlikely):
        if word not in faults() and word not in kinds:
            raise DataError(
                f"{path.name}: {word!r} is no fault, family or group; {nearest(word, [*faults(), *kinds])}"
            )
    for cause in (fault for group in order.causes for fault in group):
        if {cause, *faults()[cause].kinds} & set(order.unlikely):
            raise DataError(
                f"{path.name}: {cause!r} is in the pool and cannot be unlikely; take one of them out."
            )
    for skill in order.skills:
        if skill not in skills():
            raise DataError(f"{path.name}: skill {skill!r} is unknown; {nearest(skill, skills())}")
    for field, low, high in _LIMITS:
        if not low <= getattr(order.conditions, field) <= high:
            raise DataError(
                f"{path.name}: {field} is {getattr(order.conditions, field)}; give {low} to {high}."
            )
    if order.deal and {kind_of(group) for group in order.causes} != set(KINDS):
        raise DataError(
            f"{path.name}: it is dealt, so its pool needs one fault, two and none: {', '.join(KINDS)}."
        )
    if order.conditions.curtains not in ("closed", "open"):
        raise DataError(f"{path.name}: curtains are {order.conditions.curtains!r}; give 'closed' or 'open'.")
    if not 1 <= order.difficulty <= 5:
        raise DataError(f"{path.name}: difficulty is {order.difficulty}; give 1 to 5.")
    return order
