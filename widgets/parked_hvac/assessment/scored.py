"""A part of a score, and a point lost."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Loss:
    """Points lost: where in the attempt file, why, and what would have been better."""

    points: float
    line: int | None
    """Line of the attempt file; None for something that was never done."""
    reason: str
    better: str
    kind: str = ""
    """What is the same for several losses of a part; the debrief tells those as one."""

    def plain(self) -> dict[str, Any]:
        """As plain data."""
        return {
            "points": round(self.points, 2),
            "line": self.line,
            "reason": self.reason,
            "better": self.better,
        }


@dataclass(frozen=True)
class Scored:
    """One part: points reached of the maximum, and what was lost."""

    name: str
    title: str
    points: float
    maximum: float
    lost: tuple[Loss, ...]
