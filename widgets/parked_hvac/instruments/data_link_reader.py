"""The data-link reader: it decodes the messages that come over the link, SAE J1939 DM1 and signal frames."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from parked_hvac.instruments.outcome import Outcome, shown, sigma, to_step
from parked_hvac.instruments.specification import tools
from parked_hvac.rig import data_link, live
from parked_hvac.tables import nearest

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck

NO_CODES = "no codes"
NO_ANSWER = "no answer"


def read_codes(truck: Truck) -> Outcome:
    """Codes of the unit; the words leave the occurrence counts out, the display has them (×count)."""
    bodies = truck.codes_messages()
    words = [_told(body, counts=False) for body in bodies]
    nothing = np.full(truck.batch, np.nan)
    return Outcome(
        nothing,
        np.asarray(words, dtype=np.str_),
        "",
        nothing,
        nothing,
        lambda draw: _told(bodies[draw], counts=True),
    )


def read_live(truck: Truck, value: str) -> Outcome:
    """A live value; 'no answer' where none is sent. ValueError names the nearest for an unknown one."""
    known = tools().live
    if value not in known:
        raise ValueError(f"No live value is called {value!r}; {nearest(value, known)}")
    own, spn = known[value], live.SPN[value]
    received = data_link.unpack_frames(spn, truck.frames(data_link.signal(spn).pgn))
    silent = np.isnan(received)
    step = np.full(received.shape, own.step)
    values = np.where(silent, np.nan, to_step(np.where(silent, 0.0, received), step))

    def text(draw: int) -> str:
        return NO_ANSWER if silent[draw] else shown(values[draw], own.step, own.unit).rstrip()

    # The controller measures what it sends; half a step stands for both.
    return Outcome(values, np.where(silent, NO_ANSWER, ""), own.unit, step, sigma(step / 2.0, step), text)


@lru_cache(maxsize=4096)
def _told(body: bytes | None, counts: bool) -> str:
    if body is None:
        return NO_ANSWER
    told = [
        f"SPN {code.spn} FMI {code.fmi}" + (f" ×{code.occurrence_count}" if counts else "")
        for code in data_link.read_dm1(body).codes
    ]
    return "; ".join(told) or NO_CODES
