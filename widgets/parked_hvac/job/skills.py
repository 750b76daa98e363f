"""The skills that lessons, orders and faults refer to."""

from __future__ import annotations

from functools import cache

import msgspec

from parked_hvac.places import data_dir
from parked_hvac.tables import read_table


class Skill(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One thing a technician can do, in a title and a sentence."""

    title: str
    text: str
    sheet: tuple[str, ...] = ()
    """Sections of the spec sheet that it is about, or 'SECTION, STATE' where they share one."""


@cache
def skills() -> dict[str, Skill]:
    """Every skill by name, in the order of data/skills/skills.toml. Raises DataError."""
    return read_table(data_dir() / "skills" / "skills.toml", dict[str, Skill])
