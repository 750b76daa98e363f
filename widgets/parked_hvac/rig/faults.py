"""Hidden faults: physical edits of the truck's figures, as data/faults tells them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Literal

import msgspec
import numpy as np
from numpy.typing import NDArray

from parked_hvac.places import data_dir
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.parameters import Floats, Parameters, draw, figure
from parked_hvac.tables import DataError, nearest, read_table


class Edit(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One figure changed: set to, multiplied by, or raised by a drawn severity."""

    parameter: str
    how: Literal["set", "scale", "add"]
    low: float
    high: float
    spread: Literal["uniform", "log_uniform"] = "uniform"

    def severity(self, fraction: Floats) -> Floats:
        """The drawn number for each draw; fraction in 0…1 places it between low and high."""
        if self.spread == "log_uniform":
            return self.low * np.power(self.high / self.low, fraction)
        return self.low + (self.high - self.low) * fraction

    def apply(self, parameters: Parameters, severity: Floats, pick: str, hit: NDArray[np.bool_]) -> None:
        """Change the figure of the picked part in place, in the draws that are hit (B,)."""
        name = self.parameter.replace("{pick}", pick)
        before = parameters[name]
        after = {"set": severity, "scale": before * severity, "add": before + severity}[self.how]
        parameters.set(name, np.where(hit, after, before))


class Fault(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A cause: what it changes, how common it is, how it is reached and repaired."""

    title: str
    family: str
    component: str
    prior: float
    prior_reason: str
    repair: str
    repair_minutes: float
    skill: str
    edits: tuple[Edit, ...] = ()
    access: tuple[str, ...] = ()
    """Covers that must be off to reach the part."""
    groups: tuple[str, ...] = ()
    """What it belongs to beside its family, so that a work order can name many causes by one word."""
    pick: tuple[str, ...] = ()
    """Equal parts of which one is hit, such as the batteries of a bank; stands for {pick} in the edits."""

    @property
    def kinds(self) -> tuple[str, ...]:
        """Its family and its further groups."""
        return (self.family, *self.groups)


@cache
def faults() -> dict[str, Fault]:
    """Every fault by id, 'nothing_wrong' among them. Raises DataError for a file that does not hold."""
    found: dict[str, Fault] = {}
    for path in sorted((data_dir() / "faults").glob("*.toml")):
        for name, fault in read_table(path, dict[str, Fault]).items():
            if name in found:
                raise DataError(f"{path.name}: fault {name!r} is there twice; give one another id.")
            _check(path.name, name, fault)
            found[name] = fault
    return found


def fault(name: str) -> Fault:
    """The fault of that id; DataError names the nearest for an unknown one."""
    try:
        return faults()[name]
    except KeyError:
        raise DataError(f"No fault is called {name!r}; {nearest(name, faults())}") from None


def title_of(cause: str) -> str:
    """Title of a cause, or of causes with ' + ' between."""
    return " and ".join(fault(name).title for name in cause.split(" + "))


def draw_parameters(
    fault_ids: Sequence[str], batch: int, generator: np.random.Generator, pick: str | None = None
) -> Parameters:
    """Trucks with these faults: tolerances of all figures and severities of the faults, drawn anew for each.

    ``pick`` names the part that is hit where a fault has equal parts; None draws it too.
    The draws of tolerances come first, so the same generator state gives the same trucks with another fault.
    """
    parameters = draw(batch, generator)
    for name in fault_ids:
        apply_fault(parameters, name, generator.random(batch), generator.random(batch), pick)
    return parameters


def apply_fault(
    parameters: Parameters, name: str, fraction: Floats, place: Floats, pick: str | None = None
) -> None:
    """Edit the figures in place.

    fraction (B,) in 0…1: how severe, one for all edits of the fault. place (B,) in 0…1: which of equal parts
    is hit, unless ``pick`` names one.
    """
    found = fault(name)
    parts = found.pick or ("",)
    if pick is not None and found.pick:
        if pick not in found.pick:
            raise DataError(f"Fault {name!r} has no part {pick!r}; {nearest(pick, found.pick)}")
        parts = (pick,)
    which = np.minimum((np.asarray(place) * len(parts)).astype(np.intp), len(parts) - 1)
    for edit in found.edits:
        severity = edit.severity(np.asarray(fraction, dtype=np.float64))
        for number, part in enumerate(parts):
            edit.apply(parameters, severity, part, which == number)


def _check(file: str, name: str, fault: Fault) -> None:
    for edit in fault.edits:
        for part in fault.pick or ("",):
            figure(edit.parameter.replace("{pick}", part))
        if edit.low > edit.high or (edit.spread == "log_uniform" and edit.low <= 0):
            raise DataError(
                f"{file}: {name} has severities {edit.low} to {edit.high}; give low ≤ high, above 0 if "
                "logarithmic."
            )
    for cover in fault.access:
        if cover not in catalogue().covers:
            raise DataError(
                f"{file}: {name} is reached through {cover!r}; {nearest(cover, catalogue().covers)}"
            )
    if not fault.prior > 0:
        raise DataError(f"{file}: {name} has the prior {fault.prior}; give a number above 0.")
