"""The debrief as the bench shows it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from parked_hvac.job.attempt import Attempt


def debrief_view(attempt: Attempt) -> dict[str, Any]:
    """x"""
    return {"kind": "debrief", "title": "Debrief", "summary": "", "parts": [], "plot": None, "blocks": []}
