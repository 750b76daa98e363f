"""Training and self-assessment on a battery-powered parked air conditioner.

The three verbs that others build on are loaded when first used, so that importing the package
stays fast: ``start`` a work order, ``resume`` an attempt file, ``grade`` an attempt file.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from parked_hvac.assessment.grading import grade as grade
    from parked_hvac.job.attempt import resume as resume
    from parked_hvac.job.attempt import start as start

__version__ = "0.1.0"
__all__ = ["grade", "resume", "start"]

_HOMES = {
    "start": "parked_hvac.job.attempt",
    "resume": "parked_hvac.job.attempt",
    "grade": "parked_hvac.assessment.grading",
}


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
