"""Trucks kept as they stood at places on their ways, so that whoever goes another way from there need not begin anew.

What goes first when there are too many is what is soonest made again: each place is worth the time that its trucks would
take to get there, counted up with the worth of those that have gone before it, so that what nobody asks for ages
(Landlord or GreedyDual: N. Young, Algorithmica 11, 1994; P. Cao, S. Irani, USENIX Symp. Internet Technol. Syst. 1997;
both from memory).
"""

from __future__ import annotations

import copy
from collections.abc import Hashable
from dataclasses import dataclass

from parked_hvac.job.session import Session


class _Standing:
    """A session as it stood, its trucks packed."""

    def __init__(self, session: Session) -> None:
        self._trucks = session.truck.packed()
        known = {id(session.order): session.order, id(session.truck): self._trucks}
        self._session = copy.deepcopy(session, known)

    def session(self) -> Session:
        """The session once more, to go on with."""
        known = {id(self._session.order): self._session.order, id(self._trucks): self._trucks.truck()}
        return copy.deepcopy(self._session, known)


@dataclass
class _Kept:
    standing: _Standing
    work: float
    worth: float


class Stops:
    """Trucks at places, at most so many of them. Work is told in any one unit."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: dict[Hashable, _Kept] = {}
        self._gone = 0.0

    def __contains__(self, place: object) -> bool:
        return place in self._kept

    def __len__(self) -> int:
        return len(self._kept)

    def keep(self, place: Hashable, session: Session, work: float) -> None:
        """Keep trucks as they stand; ``work`` has brought them here from the last place where they were kept."""
        self._kept[place] = _Kept(_Standing(session), work, self._gone + work)
        if len(self._kept) > self._most:
            others = (one for one in self._kept if one != place)
            first = min(others, key=lambda one: self._kept[one].worth, default=place)
            self._gone = max(self._gone, self._kept.pop(first).worth)

    def taken_out(self, place: Hashable) -> Session:
        """The trucks that stood there once more, to go on; KeyError where none are kept."""
        kept = self._kept[place]
        kept.worth = self._gone + kept.work
        return kept.standing.session()

    def clear(self) -> None:
        """Let go of all."""
        self._kept.clear()
