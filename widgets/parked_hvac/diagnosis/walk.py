"""An order's candidates taken through actions, with what they show kept for everyone who does the same.

The candidates' trucks are the same for all learners of an order; only the learner's own truck differs. So what they
show depends on the actions alone, and of these on the ones that a truck feels: controls, plugs, fuses, and time. The
rest, preparing or reading or judging, is time that passes. Attempts that share such a beginning share its predictions,
whatever was read on the way: between two controls the trucks stop at the same moments, read or not.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from itertools import groupby
from pathlib import Path
from typing import Any

import numpy as np

from parked_hvac.diagnosis.cast import Cast, cast_of
from parked_hvac.diagnosis.information import expected_information_bits
from parked_hvac.diagnosis.labour_time import minutes_of
from parked_hvac.diagnosis.prediction import Prediction
from parked_hvac.diagnosis.predictions import Step, prediction
from parked_hvac.diagnosis.shelf import Shelf
from parked_hvac.diagnosis.stops import Stops
from parked_hvac.job.checks import CHECKS
from parked_hvac.job.order import Order
from parked_hvac.job.session import Session
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.truck import COARSE

DRAWS = 32
"""Trucks of each candidate."""
STOP_S = 30.0
"""How far apart the moments are at which trucks stop between two controls: half a minute, as most readings take that or
a whole one. It costs a fifth of the time of going in one go, and what a reading shows no longer hangs on those before it."""
KEPT_TRUCKS = 80
"""Places on the way where all trucks are kept as they stood, some twelve megabytes each: with a few, a class whose trucks
hide a dozen causes had most of its way done again."""
_SETTLING_S, _BEGINNING_S = 10.0, 60.0
"""It takes as long to work out what so much time brings as what a control moved brings, and as trucks that come in."""
KEPT_READINGS = 8000
"""Predictions of readings that are kept, some 30 kilobytes each."""
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
class Node:
    """What trucks felt last: ``token``, at the place ``before`` on their way; None for trucks just come in."""

    before: Place | None
    token: Token
    among: tuple[int, ...] | None = None
    """Candidates that are taken this way; None for all."""
    name: str = ""
    """The whole way to it, the same in every process."""
    after: dict[tuple[float, Token], Node] = field(default_factory=dict)

    def then(self, since_s: float, token: Token) -> Node:
        """What they feel next, so long after."""
        key = (since_s, token)
        if key not in self.after:
            among = token[1] if token[0] == "only" else self.among
            name = sha256(f"{self.name} {since_s} {_plain(token)}".encode()).hexdigest()
            self.after[key] = Node((self, since_s), token, among, name)
        return self.after[key]


Place = tuple[Node, float]
"""A place on the way: what trucks felt last, and how long ago, s."""


class Walk:
    """Takes the trucks of a cast through the actions of many attempts, each beginning once."""

    def __init__(self, order: Order, cast: Cast) -> None:
        self.order, self.cast = order, cast
        self._root = Node(None, ())
        self._stops = Stops(KEPT_TRUCKS)
        self._now: tuple[Place, Session] | None = None
        """Trucks where they came last, to be taken on from there."""
        self._told: OrderedDict[tuple[Place, Token], Prediction] = OrderedDict()
        self._telling: dict[int, float] = {}

    def foretell(self, steps: Sequence[Step]) -> dict[int, Prediction]:
        """What the candidates show at each reading of an attempt, by step number."""
        way = self.way()
        told = {step.n: way.take(step) for step in steps}
        return {n: one for n, one in told.items() if one is not None}

    def way(self) -> Way:
        """A way through the walk, for the steps of an attempt one by one."""
        return Way(self, self._root)

    def at(self, place: Place, verb: str, arguments: Mapping[str, Any]) -> Prediction:
        """What the trucks show there, of the candidates that are still taken."""
        key = (place, _token(verb, arguments))
        if key not in self._told:
            self._told[key] = self._shared(place, verb, arguments)
            if len(self._told) > KEPT_READINGS:
                gone = self._told.popitem(last=False)[1]
                self._telling.pop(id(gone), None)
        self._told.move_to_end(key)
        return self._told[key]

    def _shared(self, place: Place, verb: str, arguments: Mapping[str, Any]) -> Prediction:
        """A prediction from the shelf, where another process has put it; else worked out, and put there."""
        node, since_s = place
        name = f"{self.order.id} {self.cast.count} {node.name} {since_s} {_plain(_token(verb, arguments))}"
        told = None if _shelf is None else _shelf.get(name)
        if told is None:
            done = CHECKS[verb](self._at(place), dict(arguments))
            assert done.reading is not None
            told = prediction(verb, done.reading, self.cast.count)
            if _shelf is not None:
                _shelf.put(name, told)
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
        self._stops.clear()
        self._now = None
        self._told.clear()
        self._telling.clear()

    def trucks_after(self, steps: Sequence[Step]) -> Session:
        """All trucks as the steps leave them, to be read from only."""
        way = self.way()
        for step in steps:
            way.take(step)
        return self._at(way.place)

    def _at(self, place: Place) -> Session:
        """The trucks at a place, to be read from only; brought there from the nearest place before it where they stand."""
        now, self._now = self._now, None
        way: list[Place] = []
        here: Place | None = place
        while here is not None and here not in self._stops and (now is None or here != now[0]):
            way.append(here)
            here = _before(here)
        if here is None:
            here, session = way.pop(), self._begun()
            self._stops.keep(here, session, session.truck.batch * _BEGINNING_S)
        else:
            session = now[1] if now is not None and here == now[0] else self._stops.taken_out(here)
        work = 0.0
        for one, stops in _strides(reversed(way)):
            # Ways part where controls are moved, and those who read at other moments go on from the stop before.
            if work and (one[1] == 0.0 or (one == place and one[1] % STOP_S)):
                self._stops.keep(here, session, work)
                work = 0.0
            session = _moved(session, one, self.cast.count, stops)
            work += stops * _work(one, session.truck.batch)
            here = one
        if work:
            self._stops.keep(place, session, work)
        self._now = (place, session)
        return session

    def _begun(self) -> Session:
        session = Session(self.order, self.cast.trucks(), context=False, step_scale=COARSE)
        # Whether the learner could reach a place was settled on their own truck.
        session.open_covers.update(catalogue().covers)
        return session


class Way:
    """Where an attempt has come to. Steps that only take time are passed as time, all others as trucks feel them."""

    def __init__(self, walk: Walk, root: Node) -> None:
        self._walk = walk
        self.place: Place = (root, 0.0)
        self._leads: dict[str, Any] = {}
        self._covers: set[str] = set()
        self._held = False

    def only(self, candidates: Sequence[int]) -> None:
        """Go on with these candidates alone, by their places among all: from here on, predictions are of them."""
        self._feel(("only", tuple(candidates), self.place[0].among))

    def take(self, step: Step) -> Prediction | None:
        """Take a step, and tell what the candidates show where it is a reading."""
        verb, given = step.verb, dict(step.arguments)
        if verb in ("place_leads", "measure"):
            given = {**self._leads, **given}
            self._leads = {name: given[name] for name in ("function", "red", "black")}
        elif verb == "open_cover":
            self._covers.add(given["cover"])
        elif verb == "close_cover":
            self._covers.discard(given["cover"])
        elif verb == "hold" and given["mode"] != "none" and not self._held:
            # What the meter holds depends on where its leads lie from now on, so that every action counts.
            self._held = True
            self._feel(("held", frozenset(self._covers), tuple(self._leads.values())))
        told = self._walk.at(self.place, verb, given) if verb in CHECKS and not step.echo else None
        if self._held or verb in _FELT:
            self._feel(("do", *_token(verb, given)))
        elif verb == "wait":
            # Whoever waits does so for the truck's sake, so that it is gone in one go.
            self._feel(("pass", float(given["seconds"])))
        else:
            node, since_s = self.place
            # Labour comes in tenths of a minute: to the millisecond, sums are alike in any order.
            self.place = (node, round(since_s + 60.0 * minutes_of(verb, given), 3))
        return told

    def _feel(self, token: Token) -> None:
        node, since_s = self.place
        self.place = (node.then(since_s, token), 0.0)


def walk_of(order: Order) -> Walk:
    """The walk of all candidates of an order; kept, as it does not depend on any learner."""
    walk = _walks.pop(order, None) or Walk(order, cast_of(order, DRAWS))
    _walks[order] = walk
    if len(_walks) > KEPT_WALKS:
        # Whoever still holds it, a debrief or a best path, goes without its trucks, a gigabyte of them.
        _walks.popitem(last=False)[1].forget()
    return walk


_walks: OrderedDict[Order, Walk] = OrderedDict()
_shelf: Shelf | None = None


def share_predictions(folder: Path) -> None:
    """From now on, look for predictions in a folder that other processes put theirs in too, and put those missing there."""
    global _shelf
    _shelf = Shelf(folder)


def shelf() -> Shelf | None:
    """Where processes put for each other what they have worked out; None where this one is alone."""
    return _shelf


def moves(actions: Sequence[tuple[str, Mapping[str, Any]]]) -> bool:
    """Whether trucks feel any of the actions, other than by the time that they take."""
    return any(verb == "wait" or verb in _FELT for verb, _ in actions)


def _before(place: Place) -> Place | None:
    """The stop before a place, or the place where the last control was moved; None for trucks just come in."""
    node, since_s = place
    return (node, _last_stop(since_s)) if since_s > 0.0 else node.before


def _last_stop(since_s: float) -> float:
    """The last stop before that many seconds, more than 0, since the last control."""
    return STOP_S * (math.ceil(since_s / STOP_S) - 1)


def _token(verb: str, arguments: Mapping[str, Any]) -> Token:
    return (verb, *sorted(arguments.items()))


def _plain(token: Any) -> str:
    """A token as text that is the same in every process; sets have no order of their own."""
    return repr([sorted(part) if isinstance(part, frozenset) else part for part in token])


def _work(place: Place, trucks: int) -> float:
    """What it takes to bring so many trucks to a place from the one before it, in seconds of one truck."""
    node, since_s = place
    if since_s > 0.0:
        return trucks * (since_s - _last_stop(since_s))
    return trucks * (float(node.token[1]) if node.token[0] == "pass" else _SETTLING_S)


def _strides(way: Iterable[Place]) -> Iterator[tuple[Place, int]]:
    """The places of a way, stops in a row as the last of them and their number: trucks go them in one go."""
    for stop, places in groupby(way, key=lambda place: place[1] > 0.0 and place[1] % STOP_S == 0.0):
        found = list(places)
        yield from [(found[-1], len(found))] if stop else [(place, 1) for place in found]


def _moved(session: Session, place: Place, count: int, stops: int) -> Session:
    """The session brought to a place from so many stops before it; ``count`` trucks stand for each candidate."""
    node, since_s = place
    if since_s > 0.0:
        session.truck.advance(since_s - _last_stop(since_s), times=stops)
        return session
    return _done(session, node.token, count)


def _done(session: Session, token: Token, count: int) -> Session:
    """The session after something that trucks feel."""
    kind, *rest = token
    if kind == "only":
        wanted, among = rest
        places = [one if among is None else among.index(one) for one in wanted]
        return session.taken((np.array(places)[:, None] * count + np.arange(count)).ravel())
    if kind == "pass":
        session.truck.advance(rest[0])
    elif kind == "held":
        covers, placed = rest
        session.open_covers = set(covers)
        if placed:
            function, red, black = placed
            session.apply("place_leads", {"function": function, "red": red, "black": black})
    else:
        verb, *arguments = rest
        if verb == "change_meter":
            # It changes the gain error in place, which copies of these trucks share.
            session.truck.parameters = session.truck.parameters.copy()
        session.apply(verb, dict(arguments))
    return session
