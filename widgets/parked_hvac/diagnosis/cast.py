"""The trucks that stand for the candidates: as many for each, in one batch."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

from parked_hvac.diagnosis.candidates import Candidate, candidates, draws, prior
from parked_hvac.diagnosis.ensemble import Ensemble, fresh
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.job.order import Order
from parked_hvac.rig.parameters import Parameters


@dataclass(frozen=True)
class Cast:
    """Candidates with ``count`` trucks each, one candidate after the other."""

    among: tuple[Candidate, ...]
    count: int

    def trucks(self) -> Parameters:
        """The figures of all trucks, (candidates · count) draws."""
        return _trucks(self.among, self.count)

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Names of the candidates."""
        return tuple(candidate.name for candidate in self.among)

    @cached_property
    def prior(self) -> Floats:
        """Prior probabilities of the candidates."""
        return prior(self.among)

    @property
    def unread(self) -> Ensemble:
        """The draws before any reading."""
        return fresh(len(self.among), self.count)


def cast_of(order: Order, count: int) -> Cast:
    """All candidates of an order, as probable as they are to someone who read its complaint."""
    return Cast(candidates(order.weighed, order.likely, order.unlikely), count)


@lru_cache(maxsize=4)
def _trucks(among: tuple[Candidate, ...], count: int) -> Parameters:
    return draws(among, count)
