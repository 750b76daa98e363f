"""A reading as it stands on the job card."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass
class Reading:
    """One reading of an attempt; only its verdict may change."""

    id: str
    n: int
    """Number of its action; it stands in line n + 1 of the attempt file."""
    minute: float
    """Clock when it was taken."""
    action: str
    arguments: dict[str, str | bool | int | float]
    label: str
    """What was read where, in words."""
    state: str
    """State of the truck at that moment, in words."""
    display: str
    value: float | None
    """The number shown, None where the instrument showed a word."""
    unit: str
    verdict: str | None = None

    def __str__(self) -> str:
        return f"{self.id}  {self.label}: {self.display}  ({self.state})"
