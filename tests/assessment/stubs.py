"""A case as the rules on single readings see it, with nothing behind it."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import cast

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.retrace import Line
from parked_hvac.assessment.rubric import rubric
from parked_hvac.diagnosis.analysis import Learned


def case_of(lines: Sequence[Line], learned: Sequence[Learned]) -> Case:
    """Readings with what each taught; they are numbered from 1, and the first candidate is the likeliest."""
    stub = SimpleNamespace(
        trace=SimpleNamespace(readings=lines),
        analysis=SimpleNamespace(learned=learned, of=lambda n: learned[n - 1]),
        rubric=rubric(),
        top=lambda posterior: float(posterior[0]),
    )
    return cast(Case, stub)
