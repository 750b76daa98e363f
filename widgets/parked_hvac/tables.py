"""Read the course's data files into typed, frozen objects; a misspelt key is an error."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from pathlib import Path
from typing import TypeVar

import msgspec

T = TypeVar("T")


class DataError(ValueError):
    """A data file does not say what it must; the sentence names file, key and remedy."""


def nearest(name: str, known: Iterable[str]) -> str:
    """End of an error sentence: the known name nearest to the given one, or the choice of names.

    Returns "did you mean 'X'?" or "choose one of …".
    """
    names = sorted(known)
    close = difflib.get_close_matches(name, names, n=1, cutoff=0.6)
    if close:
        return f"did you mean {close[0]!r}?"
    shown = ", ".join(names[:12]) + (" …" if len(names) > 12 else "")
    return f"choose one of {shown}."


def read_table(path: Path, kind: type[T]) -> T:
    """Decode a TOML file into ``kind`` (a msgspec structure that forbids unknown fields).

    Raises DataError with the file, what is wrong and, for an unknown key, the nearest known one.
    """
    try:
        return msgspec.toml.decode(path.read_bytes(), type=kind)
    except FileNotFoundError:
        raise DataError(f"{path} is missing: restore it from the repository.") from None
    except msgspec.ValidationError as error:
        raise DataError(f"{path.name}: {_explain(str(error), kind)}") from None
    except msgspec.DecodeError as error:
        raise DataError(f"{path.name} is not valid TOML ({error}): mend that line.") from None


def _explain(message: str, kind: type) -> str:
    unknown = re.search(r"unknown field `([^`]+)`", message)
    if unknown is None:
        return message
    return f"{message}; {nearest(unknown[1], _field_names(kind))}"


def _field_names(kind: type) -> set[str]:
    """Every field name of a structure and the structures within it."""
    names: set[str] = set()
    seen: set[object] = set()
    waiting: list[object] = [kind]
    while waiting:
        item = waiting.pop()
        if getattr(item, "__hash__", None) is None or item in seen:
            continue
        seen.add(item)
        if isinstance(item, type) and issubclass(item, msgspec.Struct):
            for field in msgspec.structs.fields(item):
                names.add(field.encode_name)
                waiting.append(field.type)
        waiting.extend(getattr(item, "__args__", ()))
    return names
