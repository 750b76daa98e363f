"""Eyes, hands and ears: what a person notices at a place, in words."""

from __future__ import annotations

from functools import reduce
from typing import TYPE_CHECKING

import numpy as np

from parked_hvac.instruments.outcome import Outcome, categories
from parked_hvac.instruments.specification import tools
from parked_hvac.tables import nearest

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck

SENSES = ("look", "feel", "listen")
NOTHING = {
    "look": "nothing strikes the eye",
    "feel": "nothing to feel",
    "listen": "nothing to hear",
}


def notice(truck: Truck, sense: str, location: str) -> Outcome:
    """What one of the senses finds at a location: 'thing: word' for each thing, per draw.

    Raises ValueError for an unknown sense; an unknown location is the truck's to refuse.
    """
    if sense not in SENSES:
        raise ValueError(f"There is no sense {sense!r}; {nearest(sense, SENSES)}")
    wanted: tuple[str, ...] = getattr(tools().senses, sense)
    told = [(thing, words) for thing, words in truck.senses(location).items() if thing in wanted]
    if not told:
        return categories(np.full(truck.batch, NOTHING[sense]))
    parts = [np.char.add(f"{thing}: ", np.asarray(words, dtype=np.str_)) for thing, words in told]
    return categories(reduce(lambda left, right: np.char.add(np.char.add(left, "; "), right), parts))
