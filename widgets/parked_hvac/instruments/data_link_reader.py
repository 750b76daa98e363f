"""The data-link reader: stored codes and live values as the truck sends them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np

from parked_hvac.instruments.outcome import Outcome, shown, sigma, to_step
from parked_hvac.instruments.specification import tools
from parked_hvac.tables import nearest

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck

NO_CODES = "no codes"
NO_ANSWER = "no answer"


def read_codes(truck: Truck) -> Outcome:
    """Codes of the unit; the words leave the occurrence counts out, the display has them (×count)."""
    answers = truck.link_answers()
    listed = truck.codes() or [[] for _ in range(truck.batch)]
    words = [
        _told(codes, counts=False) if there else NO_ANSWER
        for codes, there in zip(listed, answers, strict=True)
    ]

    def text(draw: int) -> str:
        return _told(listed[draw], counts=True) if answers[draw] else NO_ANSWER

    nothing = np.full(truck.batch, np.nan)
    return Outcome(nothing, np.asarray(words, dtype=np.str_), "", nothing, nothing, text)


def read_live(truck: Truck, value: str) -> Outcome:
    """A live value; 'no answer' where none is sent. ValueError names the nearest for an unknown one."""
    known = tools().live
    if value not in known:
        raise ValueError(f"No live value is called {value!r}; {nearest(value, known)}")
    own = known[value]
    sent = truck.live(value)
    silent = np.isnan(sent)
    step = np.full(sent.shape, own.step)
    values = np.where(silent, np.nan, to_step(np.where(silent, 0.0, sent), step))

    def text(draw: int) -> str:
        return NO_ANSWER if silent[draw] else shown(values[draw], own.step, own.unit).rstrip()

    # The controller measures what it sends; half a step stands for both.
    return Outcome(values, np.where(silent, NO_ANSWER, ""), own.unit, step, sigma(step / 2.0, step), text)


def _told(codes: Iterable[tuple[int, int, int]], counts: bool) -> str:
    told = [f"SPN {spn} FMI {fmi}" + (f" ×{count}" if counts else "") for spn, fmi, count in sorted(codes)]
    return "; ".join(told) or NO_CODES
