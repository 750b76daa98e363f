"""A fingerprint of the course data that decides what readings show."""

from __future__ import annotations

import hashlib
from functools import cache

from parked_hvac.places import data_dir

_FOLDERS = ("faults", "instruments", "physics", "rig", "work-orders")


@cache
def data_digest() -> str:
    """SHA-256 over names and contents of the data files, line ends made alike, as 16 hex digits."""
    total = hashlib.sha256()
    for folder in _FOLDERS:
        for path in sorted((data_dir() / folder).rglob("*")):
            if path.suffix in (".toml", ".json"):
                total.update(path.relative_to(data_dir()).as_posix().encode())
                total.update(path.read_bytes().replace(b"\r\n", b"\n"))
    return total.hexdigest()[:16]
