"""What a repair changes on the truck: parts that are bad in the way the repair is for become sound ones.

The workshop does not know the cause either. It mends what it finds at that part: where the part is sound,
or bad in another way, a repair leaves the figures as they are.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from parked_hvac.rig.faults import Edit, Fault
from parked_hvac.rig.parameters import Floats, Parameters, figure

_MOST_SIGMA = 2.6  # a little above where tolerances are cut off (2.5)


def mended(parameters: Parameters, fault: Fault) -> Parameters:
    """A copy of the figures with this fault's edits taken back in the draws that have them."""
    found = parameters.copy()
    for part in fault.pick or ("",):
        here = np.ones(parameters.batch, dtype=bool)
        for edit in fault.edits:
            here &= _bears(edit, part, parameters[_figure_of(edit, part)])
        for edit in fault.edits:
            name = _figure_of(edit, part)
            found.set(name, np.where(here, figure(name).value, found[name]))
    return found


def renewed_batteries(fault: Fault) -> tuple[str, ...]:
    """Batteries that come out of this repair fresh and charged: those whose charge is what is wrong."""
    suffix = ".state_of_charge"
    names = [_figure_of(edit, part) for part in fault.pick or ("",) for edit in fault.edits]
    return tuple(dict.fromkeys(name.removesuffix(suffix) for name in names if name.endswith(suffix)))


def _figure_of(edit: Edit, part: str) -> str:
    return edit.parameter.replace("{pick}", part)


def _bears(edit: Edit, part: str, values: Floats) -> NDArray[np.bool_]:
    """Where (B,) a figure is as this edit makes it, tolerances allowed for."""
    own = figure(_figure_of(edit, part))
    low, high = edit.low, edit.high
    slack = _MOST_SIGMA * own.spread
    if edit.how == "set":
        low, high = low - abs(low) * 1e-9, high + abs(high) * 1e-9
    elif edit.how == "add":
        around = slack if own.absolute else slack * abs(own.value)
        low, high = own.value + low - around, own.value + high + around
    elif own.absolute:
        low, high = (own.value - slack) * low, (own.value + slack) * high
    else:
        low, high = own.value * low * np.exp(-slack), own.value * high * np.exp(slack)
    low, high = min(low, high), max(low, high)
    least, most = own.range
    return (values >= min(low, most)) & (values <= max(high, least))
