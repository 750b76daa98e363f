"""A job in progress on a truck of any batch size: the learner's own, or the judge's many side by side."""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from parked_hvac.instruments import meter
from parked_hvac.instruments.hold import HOLDABLE, Hold
from parked_hvac.instruments.outcome import Floats, Outcome
from parked_hvac.job import access
from parked_hvac.job.actions import checked
from parked_hvac.job.errors import Refused
from parked_hvac.job.order import Order
from parked_hvac.job.situation import situation
from parked_hvac.rig.parameters import Parameters
from parked_hvac.rig.truck import FINE, Truck
from parked_hvac.tables import DataError


@dataclass(frozen=True)
class Leads:
    """Where the meter's leads are, and its function."""

    function: str
    red: str
    black: str

    def as_tuple(self) -> tuple[str, str, str]:
        """Function, red terminal, black terminal."""
        return self.function, self.red, self.black


@dataclass(frozen=True)
class Event:
    """What an action brought: minutes, a sentence (of the first draw), a reading, what rules must know."""

    minutes: float
    message: str
    reading: Outcome | None = None
    context: dict[str, Any] = field(default_factory=dict, repr=False)
    """Kept out of what a notebook prints: it holds values that the learner has not measured."""


@dataclass(frozen=True)
class Done:
    """What a verb did before time passes: how long it takes, and what remains to be done after."""

    minutes: float
    message: str
    reading: Outcome | None = None
    facts: dict[str, Any] = field(default_factory=dict)
    afterwards: Callable[[], None] | None = None


class Session:
    """Applies actions to a truck; the order's conditions and the parameters (B draws) say which truck."""

    def __init__(
        self,
        order: Order,
        parameters: Parameters,
        *,
        truck: Truck | None = None,
        context: bool = True,
        step_scale: float = FINE,
    ) -> None:
        """``context`` False leaves the contexts of events empty, which is faster for many draws; so do coarse steps."""
        own = parameters.copy()
        drawn = own["meter.gain_error"].copy()
        in_hand = drawn if order.meter is None else np.full(drawn.shape, order.meter.gain_error)
        # The spare is another sound meter: as likely as the drawn one, and not the same.
        self._gains: list[Floats] = [in_hand, -drawn if order.meter is None else drawn]
        own.set("meter.gain_error", in_hand)
        self.order = order
        self.truck = Truck(own, order.conditions, step_scale) if truck is None else truck
        self.minutes = 0.0
        self.open_covers: set[str] = set()
        self.prepared: set[str] = set()
        self.leads: Leads | None = None
        self.hold: Hold | None = None
        self.meter_proved = False
        self.leads_touched = False
        self.concluded: str | None = None
        self.repaired: list[str] = []
        self.watch: Callable[[Truck], None] | None = None
        """Called after each solve while time passes, for plots; has no part in the attempt."""
        self._context = context

    def taken(self, draws: NDArray[np.intp]) -> Session:
        """Only the given draws, in that order, as they stand; they go their own way from here."""
        some = copy.copy(self)
        some.truck = self.truck.taken(draws)
        some._gains = [gain[draws] for gain in self._gains]
        some.open_covers, some.prepared = set(self.open_covers), set(self.prepared)
        some.repaired = list(self.repaired)
        some.hold = None if self.hold is None else self.hold.taken(draws)
        return some

    def apply(self, verb: str, arguments: Mapping[str, Any]) -> Event:
        """Take one action. Raises Refused with a sentence; nothing has happened then, no time has passed."""
        from parked_hvac.job.verbs import VERBS  # the verbs know the session, not the other way round

        given = checked(verb, arguments)
        before = situation(self) if self._context else {}
        try:
            done = VERBS[verb](self, given)
        except DataError as error:
            raise Refused(str(error)) from None
        self._pass_time(done.minutes)
        if done.afterwards is not None:
            done.afterwards()
        return Event(done.minutes, done.message, done.reading, {**before, **done.facts})

    def peek(self, function: str, red: str, black: str) -> Outcome:
        """What the meter would show now; takes no time and leaves no trace. Raises Refused."""
        given = checked("place_leads", {"function": function, "red": red, "black": black})
        leads = Leads(str(given["function"]), str(given["red"]), str(given["black"]))
        self.reach(leads)
        return meter.read(self.truck, *leads.as_tuple())

    def reach(self, leads: Leads) -> None:
        """Raise Refused if a lead cannot touch its terminal."""
        access.reach("measure", {"red": leads.red, "black": leads.black}, self.open_covers)

    def move_leads(self, leads: Leads | None) -> None:
        """Put the leads elsewhere; an armed hold starts anew there, or ends where nothing can be held."""
        if leads == self.leads:
            return
        self.leads = leads
        mode = None if self.hold is None else self.hold.mode
        self.arm_hold(mode if leads is not None and leads.function in HOLDABLE else None)

    def arm_hold(self, mode: str | None) -> None:
        """Hold 'min' or 'max' from now on at the leads as placed; None ends it."""
        if mode is None or self.leads is None:
            self.hold = None
            return
        self.hold = Hold("min" if mode == "min" else "max", *self.leads.as_tuple())
        self.hold.watch(self.truck)

    def swap_meter(self) -> None:
        """Take the other meter in hand."""
        self._gains.reverse()
        self.truck.parameters.set("meter.gain_error", self._gains[0])
        self.meter_proved = False
        self.leads_touched = False

    def _on_solve(self, truck: Truck) -> None:
        if self.hold is not None:
            self.hold.watch(truck)
        if self.watch is not None:
            self.watch(truck)

    def _pass_time(self, minutes: float) -> None:
        if minutes <= 0.0:
            return
        idle = self.watch is None and self.hold is None
        self.truck.advance(minutes * 60.0, None if idle else self._on_solve)
        self.minutes += minutes
