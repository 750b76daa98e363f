"""A case as the rules on single readings see it, with nothing behind it."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import cast

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.retrace import Line
from parked_hvac.assessment.rubric import rubric
from parked_hvac.diagnosis.analysis import Learned


class _Stub(SimpleNamespace):
    """Equal to itself alone, as a case is."""

    __hash__ = object.__hash__  # type: ignore[assignment]


def case_of(lines: Sequence[Line], learned: Sequence[Learned]) -> Case:
    """Readings with what each taught; they are numbered from 1, and the first candidate is the likeliest."""
    certain = rubric().conclusion.certain
    stub = _Stub(
        trace=SimpleNamespace(readings=lines),
        analysis=SimpleNamespace(learned=learned, of=lambda n: learned[n - 1]),
        rubric=rubric(),
        certain_at=tuple(one.n for one in learned if one.posterior[0] >= certain),
    )
    return cast(Case, stub)
