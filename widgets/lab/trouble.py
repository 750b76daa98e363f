"""The one kind of error that a command shows to its user."""

from __future__ import annotations


class Trouble(Exception):
    """Something the user can mend; its text is one sentence with the value and what to do next."""


def write_trouble(doing: str, path: object, error: OSError, remedy: str) -> Trouble:
    """Trouble for a file or folder that could not be written; ``remedy`` starts after a colon."""
    reason = (error.strerror or str(error)).lower()
    return Trouble(f"Cannot {doing} {path} ({reason}): {remedy}.")
