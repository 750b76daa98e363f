"""An order's candidates taken through actions, with what they show kept for everyone who does the same.

The candidates' trucks are the same for all learners of an order; only the learner's own truck differs. So what they
show depends on the actions alone, and of these on the ones that a truck feels: controls, plugs, fuses, and time. The
rest, preparing or reading or judging, is time that passes. Attempts that share such a beginning share its predictions.
"""

from __future__ import annotations

import copy
from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from parked_hvac.diagnosis.cast import Cast, cast_of
from parked_hvac.diagnosis.information import expected_information_bits
from parked_hvac.diagnosis.labour_time import minutes_of
from parked_hvac.diagnosis.prediction import Prediction
from parked_hvac.diagnosis.predictions import Step, prediction
from parked_hvac.job.checks import CHECKS
from parked_hvac.job.order import Order
from parked_hvac.job.session import Session
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.truck import COARSE

DRAWS = 32
"""Trucks of each candidate."""
KEPT_TRUCKS = 24
"""Places on the way where all trucks are kept as they stand, some forty megabytes each: with
eight, a class whose trucks hide a dozen causes had most of its way done again ..."""
KEPT_READINGS = 2000
"""... and predictions of readings, some 60 kilobytes each."""
KEPT_WALKS = 2
"""Orders whose walks are kept."""
_FELT = frozenset(
    {
        "switch_key",
        "switch_parked_cooling",
        "set_blower",
        "set_temperature",
        "pull_fuse",
        "fit_fuse",
        "part_connector",
        "seat_connector",
        "warm_sensor",
        "discharge_capacitors",
        "change_meter",
        "repair",
    }
)
"""What the trucks, or the meter in hand, feel of the work."""

Token = tuple[Any, ...]


@dataclass(eq=False)
class _Node:
    """A place on the way: the one before it, and what was done since."""

    before: _Node | None
    token: Token
    after: dict[Token, _Node] = field(default_factory=dict)

    def then(self, token: Token) -> _Node:
        if token not in self.after:
            self.after[token] = _Node(self, token)
        return self.after[token]


@dataclass(frozen=True)
class _Move:
    """A step as the trucks feel it: a reading before it, if any, and what is then done or how long it takes."""

    n: int
    reading: tuple[str, dict[str, Any]] | None
    token: Token | None
    seconds: float


class Walk:
    """Takes the trucks of a cast through the actions of many attempts, each beginning once."""

    def __init__(self, order: Order, cast: Cast) -> None:
        self.order, self.cast = order, cast
        self._root = _Node(None, ())
        self._trucks: OrderedDict[_Node, Session] = OrderedDict()
        self._told: OrderedDict[tuple[_Node, Token], Prediction] = OrderedDict()
        self._walked = 0
        self._telling: dict[int, float] = {}

    def foretell(self, steps: Sequence[Step]) -> dict[int, Prediction]:
        """What the candidates show at each reading of an attempt, by step number."""
        told: dict[int, Prediction] = {}
        self._walked += 1
        for move, node in self._way(steps):
            if move is not None and move.reading is not None:
                told[move.n] = self._reading(node, *move.reading)
        return told

    def telling_bits(self, told: Prediction) -> float:
        """What a reading could tell someone who knows nothing yet; kept as long as its prediction is."""
        if id(told) not in self._telling:
            forecast = self.cast.unread.forecast([told])
            bits = float(expected_information_bits(forecast, self.cast.prior)[0])
            if not any(told is one for one in self._told.values()):
                return bits
            self._telling[id(told)] = bits
        return self._telling[id(told)]

    def forget(self) -> None:
        """Let go of trucks and predictions; whoever asks again has them made again."""
        self._trucks.clear()
        self._told.clear()
        self._telling.clear()

    def trucks_after(self, steps: Sequence[Step]) -> Session:
        """All trucks as the steps leave them, to be read from only."""
        *_, (_, node) = self._way(steps)
        return self._at(node)

    def _way(self, steps: Sequence[Step]) -> Iterator[tuple[_Move | None, _Node]]:
        """Each step with the place at which it is taken, and the place at the end.

        Time is passed in one go up to the next reading or control.
        """
        node, idle_s = self._root, 0.0
        for move in (*_moves(steps), None):
            only_time = move is not None and move.reading is None and move.token is None
            if idle_s > 0.0 and not only_time:
                node, idle_s = node.then(("pass", idle_s)), 0.0
            yield move, node
            if move is not None:
                node = node if move.token is None else node.then(move.token)
                idle_s += move.seconds

    def _reading(self, node: _Node, verb: str, arguments: dict[str, Any]) -> Prediction:
        key = (node, _token(verb, arguments))
        if key not in self._told:
            done = CHECKS[verb](self._at(node), dict(arguments))
            assert done.reading is not None
            self._told[key] = prediction(verb, done.reading, self.cast)
            if len(self._told) > KEPT_READINGS:
                gone = self._told.popitem(last=False)[1]
                self._telling.pop(id(gone), None)
        self._told.move_to_end(key)
        return self._told[key]

    def _at(self, node: _Node) -> Session:
        """The trucks at a place, brought there from the nearest place where they are kept."""
        way = []
        here: _Node | None = node
        while here is not None and here not in self._trucks:
            way.append(here)
            here = here.before
        if here is None:
            session = self._begun()
            way.pop()
        elif here is node:
            self._trucks.move_to_end(node)
            return self._trucks[node]
        elif self._walked > 1:
            session = _copied(self._trucks[here])
        else:
            # As long as there is but one attempt, nobody will come back to where the trucks were.
            session = self._trucks.pop(here)
        for place in reversed(way):
            _do(session, place.token)
        self._trucks[node] = session
        if len(self._trucks) > KEPT_TRUCKS:
            self._trucks.popitem(last=False)
        return session

    def _begun(self) -> Session:
        session = Session(self.order, self.cast.trucks(), context=False, step_scale=COARSE)
        # Whether the learner could reach a place was settled on their own truck.
        session.open_covers.update(catalogue().covers)
        return session


def walk_of(order: Order) -> Walk:
    """The walk of all candidates of an order; kept, as it does not depend on any learner."""
    walk = _walks.pop(order, None) or Walk(order, cast_of(order, DRAWS))
    _walks[order] = walk
    if len(_walks) > KEPT_WALKS:
        # Whoever still holds it, a debrief or a best path, goes without its trucks, a gigabyte of them.
        _walks.popitem(last=False)[1].forget()
    return walk


_walks: OrderedDict[Order, Walk] = OrderedDict()


def _moves(steps: Sequence[Step]) -> Iterator[_Move]:
    """The steps as the trucks feel them; those that only take time, as time."""
    leads: Mapping[str, Any] = {}
    covers: set[str] = set()
    held = False
    for step in steps:
        verb, given = step.verb, dict(step.arguments)
        if verb in ("place_leads", "measure"):
            given = {**{name: leads[name] for name in ("function", "red", "black") if name in leads}, **given}
            leads = given
        if verb == "open_cover":
            covers.add(given["cover"])
        elif verb == "close_cover":
            covers.discard(given["cover"])
        reading = (verb, given) if verb in CHECKS else None
        if verb == "hold" and given["mode"] != "none" and not held:
            # What the meter holds depends on where its leads lie from now on, so that every action counts.
            held = True
            placed = None if not leads else tuple(leads[name] for name in ("function", "red", "black"))
            yield _Move(step.n, None, ("held", frozenset(covers), placed), 0.0)
        if held or verb in _FELT:
            yield _Move(step.n, reading, ("do", *_token(verb, given)), 0.0)
        else:
            yield _Move(step.n, reading, None, 60.0 * minutes_of(verb, given))


def _token(verb: str, arguments: Mapping[str, Any]) -> Token:
    return (verb, *sorted(arguments.items()))


def _do(session: Session, token: Token) -> None:
    kind, *rest = token
    if kind == "pass":
        session.truck.advance(rest[0])
    elif kind == "held":
        covers, placed = rest
        session.open_covers = set(covers)
        if placed is not None:
            function, red, black = placed
            session.apply("place_leads", {"function": function, "red": red, "black": black})
    else:
        verb, *arguments = rest
        if verb == "change_meter":
            # It changes the gain error in place, which copies of these trucks share.
            session.truck.parameters = session.truck.parameters.copy()
        session.apply(verb, dict(arguments))


def _copied(session: Session) -> Session:
    """The trucks once more, to go another way; they share their figures."""
    shared = (session.truck.parameters, session.order)
    return copy.deepcopy(session, {id(one): one for one in shared})
