"""Safety rules and cautions, as data/safety tells them."""

from __future__ import annotations

from collections.abc import Mapping
from fnmatch import fnmatchcase
from functools import cache
from typing import Any, Literal

import msgspec

from parked_hvac.places import data_dir
from parked_hvac.tables import DataError, read_table


class Where(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A kind of step: its verb, names its argument must have, and terminals that one lead must touch."""

    verb: str
    argument: str | None = None
    names: tuple[str, ...] = ()
    terminals: tuple[str, ...] = ()

    def fits(self, verb: str, arguments: Mapping[str, Any]) -> bool:
        """Whether a step is of this kind; a '*' in a name stands for anything."""
        if verb != self.verb:
            return False
        if self.argument is not None and not _any(str(arguments.get(self.argument)), self.names):
            return False
        if not self.terminals:
            return True
        return any(_any(str(arguments.get(lead)), self.terminals) for lead in ("red", "black"))


class Rule(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What must not happen: where it is watched, how it is seen, what is said before and after."""

    severity: Literal["grave", "minor"]
    at: tuple[Where, ...]
    predicate: str
    caution: str
    breach: str
    better: str
    needs: str | None = None
    """Step of preparation that must have been done."""
    limit: float | None = None
    up_to: float | None = None
    unit: str | None = None
    exempt: tuple[str, ...] = ()
    """Faults whose repair the rule does not watch."""
    source: str = "common practice, no source"

    def fits(self, verb: str, arguments: Mapping[str, Any]) -> bool:
        """Whether the rule watches a step."""
        if not any(where.fits(verb, arguments) for where in self.at):
            return False
        return not any(str(value) in self.exempt for value in arguments.values())


class Caution(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What is said at a step although no action of the bench can break it."""

    severity: Literal["grave", "minor"]
    at: tuple[Where, ...]
    caution: str
    breach: str
    """What a person would write down who saw it at a real truck."""
    source: str = "common practice, no source"

    def fits(self, verb: str, arguments: Mapping[str, Any]) -> bool:
        """Whether the caution belongs to a step."""
        return any(where.fits(verb, arguments) for where in self.at)


class _Rules(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    rules: dict[str, Rule]
    cautions: dict[str, Caution]


@cache
def rules() -> dict[str, Rule]:
    """Every safety rule by id. Raises DataError."""
    read = _read().rules
    for name, rule in read.items():
        if rule.predicate == "prepared" and rule.needs is None:
            raise DataError(f"rules.toml: {name} watches a preparation but needs none; add needs = '…'.")
    return read


def cautions() -> dict[str, Caution]:
    """What is only shown, by id, as no action of the bench can break it. Raises DataError."""
    return _read().cautions


def cautions_at(verb: str, arguments: Mapping[str, Any] | None = None) -> tuple[str, ...]:
    """Cautions to show where a step is taken, grave ones first; each once.

    Arguments that are not known yet may be left out; then only cautions for every such step are given.
    """
    given = {} if arguments is None else arguments
    grave = [r.caution for r in rules().values() if r.severity == "grave" and r.fits(verb, given)]
    minor = [r.caution for r in rules().values() if r.severity == "minor" and r.fits(verb, given)]
    other = [c.caution for c in cautions().values() if c.fits(verb, given)]
    return tuple(dict.fromkeys(text for text in (*grave, *minor, *other) if text))


@cache
def _read() -> _Rules:
    return read_table(data_dir() / "safety" / "rules.toml", _Rules)


def _any(name: str, patterns: tuple[str, ...]) -> bool:
    return any(fnmatchcase(name, pattern) for pattern in patterns)
