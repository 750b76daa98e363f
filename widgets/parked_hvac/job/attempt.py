"""An attempt: one learner at one work order, recorded action by action.

The file is the attempt. Every action is on the disk before ``do`` returns, and reading the file again
brings back truck, meter and job card as they were.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Protocol

import msgspec
import numpy as np

from parked_hvac.instruments.outcome import Outcome
from parked_hvac.job.actions import Value, checked
from parked_hvac.job.digest import data_digest
from parked_hvac.job.errors import AttemptError, Refused
from parked_hvac.job.lines import FORMAT, VERSION, Header, Line, Result
from parked_hvac.job.log import Log, LogWriter, create_log, read_log, set_torn_aside
from parked_hvac.job.order import Order, order_named
from parked_hvac.job.reading import Reading
from parked_hvac.job.seal import (
    HAND_OUT_NAME,
    Ticket,
    check_learner,
    draw_ticket,
    read_hand_out,
    seal,
    unseal,
)
from parked_hvac.job.session import Event, Session
from parked_hvac.job.situation import state_words
from parked_hvac.rig.controls import Controls
from parked_hvac.rig.faults import draw_parameters
from parked_hvac.rig.parameters import Parameters
from parked_hvac.rig.truck import Truck
from parked_hvac.tables import nearest

_DIFFERS = (
    "the file was edited, or made with another version of the course; "
    "restore your own copy or start a new attempt"
)


@dataclass(frozen=True)
class Entry:
    """One line of the job card: an action that was taken, and what came of it."""

    n: int
    minute: float
    action: str
    arguments: dict[str, Value]
    message: str
    reading: str | None
    """Id of the reading it yielded."""
    context: dict[str, Any] = field(repr=False)
    """State before the action, for safety and quality rules; never shown to the learner."""


class Witness(Protocol):
    """Sees each action of a replay on the learner's truck, before and after it is taken."""

    def before(self, session: Session, verb: str, given: Mapping[str, Any]) -> None:
        """The action is about to be taken."""

    def after(self, session: Session, event: Event) -> None:
        """It was taken."""


class Attempt:
    """A learner's attempt; ``start`` and ``resume`` make one."""

    def __init__(self, log: Log, order: Order, ticket: Ticket, witness: Witness | None = None) -> None:
        """Bring truck and job card to the end of the log; AttemptError where replay and file differ."""
        self.path = log.path
        self.order = order
        self.learner = log.header.learner
        self.readings: list[Reading] = []
        self.entries: list[Entry] = []
        self.write_up: dict[str, str] | None = None
        self.notes: list[str] = []
        self.set_aside: Path | None = None
        """Side file with a last line that was cut off in mid-write, if resuming found one."""
        self._session = Session(order, truck_parameters(ticket))
        self._writer = LogWriter(log)
        self._broken = False
        for line in log.lines:
            self._follow(line, witness)

    def do(self, verb: str, **arguments: Any) -> Reading | Event:
        """Take an action and record it: a Reading where the action reads, else an Event.

        Raises Refused (a ValueError) with a sentence when it cannot be done; nothing is recorded then and
        no time passes. Raises AttemptError when the file cannot be written or another window went on with
        it.
        """
        if self._broken:
            raise AttemptError(
                f"This attempt lost touch with {self.path}: go on with resume({str(self.path)!r})."
            )
        given = checked(verb, arguments)
        self._allow(verb, given)
        self._writer.expect_untouched()
        minute, state = self.minutes, state_words(self._session.truck)
        self._broken = True  # until the line is on the disk, the truck is ahead of the file
        try:
            event = self._session.apply(verb, given)
        except Refused:
            self._broken = False
            raise
        reading = self._reading(verb, given, event, minute, state)
        self._writer.append(self._writer.next_line(_line(verb, given, minute, reading)))
        self._broken = False
        self._record(verb, given, minute, event, reading)
        return event if reading is None else reading

    def peek(self, function: str, red: str, black: str) -> Outcome:
        """What the meter would show now; not recorded, takes no time. Raises Refused."""
        return self._session.peek(function, red, black)

    def meter_shows(self) -> Outcome | None:
        """What the meter shows at the leads as placed, the extreme it holds included; None without leads."""
        session = self._session
        if session.leads is None:
            return None
        if session.hold is not None:
            return session.hold.show(session.truck)
        return session.peek(*session.leads.as_tuple())

    @property
    def minutes(self) -> float:
        """Minutes spent on the job."""
        return round(self._session.minutes, 4)

    @property
    def controls(self) -> Controls:
        """Key, panel and what is pulled, parted or warmed."""
        return self._session.truck.controls

    @property
    def state(self) -> str:
        """State of the truck in words."""
        return state_words(self._session.truck)

    @property
    def open_covers(self) -> frozenset[str]:
        """Covers that are off."""
        return frozenset(self._session.open_covers)

    @property
    def parted(self) -> frozenset[str]:
        """Connectors that are parted."""
        return frozenset(self.controls.parted)

    @property
    def pulled(self) -> frozenset[str]:
        """Fuses that are pulled."""
        return frozenset(self.controls.pulled)

    @property
    def prepared(self) -> frozenset[str]:
        """Steps of preparation that were taken."""
        return frozenset(self._session.prepared)

    @property
    def leads(self) -> tuple[str, str, str] | None:
        """Function, red and black terminal of the meter as placed."""
        return None if self._session.leads is None else self._session.leads.as_tuple()

    @property
    def held(self) -> str | None:
        """'min' or 'max' while the meter holds an extreme."""
        return None if self._session.hold is None else self._session.hold.mode

    @property
    def concluded(self) -> str | None:
        """Fault id named last as the cause."""
        return self._session.concluded

    @property
    def repaired(self) -> tuple[str, ...]:
        """Fault ids whose repairs were carried out, in order."""
        return tuple(self._session.repaired)

    @property
    def verdicts(self) -> dict[str, str]:
        """Verdict by reading id, for the readings that have one."""
        return {reading.id: reading.verdict for reading in self.readings if reading.verdict is not None}

    def reading(self, name: str) -> Reading:
        """The reading of that id; Refused names the nearest for an unknown one."""
        for reading in self.readings:
            if reading.id == name:
                return reading
        known = [reading.id for reading in self.readings]
        remedy = nearest(name[:40], known) if known else "take a reading first."
        raise Refused(f"No reading is called {name[:40]!r}; {remedy}")

    def watch(self, call: Callable[[Truck], None] | None) -> None:
        """Have ``call`` called with the truck after each solve while time passes, for plots; None ends it."""
        self._session.watch = call

    def _allow(self, verb: str, given: dict[str, Value]) -> None:
        if verb == "judge":
            self.reading(str(given["reading"]))

    def _reading(
        self, verb: str, given: dict[str, Value], event: Event, minute: float, state: str
    ) -> Reading | None:
        if event.reading is None:
            return None
        number = float(event.reading.values[0])
        leads = self._session.leads
        if verb == "measure" and leads is not None:  # the learner may have named none and read where they lie
            given = {"function": leads.function, "red": leads.red, "black": leads.black}
        return Reading(
            id=f"r{len(self.readings) + 1}",
            n=len(self.entries) + 1,
            minute=minute,
            action=verb,
            arguments=given,
            label=str(event.context["label"]),
            state=state,
            display=event.reading.shown(),
            value=None if np.isnan(number) else number,
            unit=event.reading.unit,
        )

    def _record(
        self, verb: str, given: dict[str, Value], minute: float, event: Event, reading: Reading | None
    ) -> None:
        if reading is not None:
            self.readings.append(reading)
        if verb == "judge":
            self.reading(str(given["reading"])).verdict = str(given["verdict"])
        elif verb == "write_up":
            self.write_up = {part: str(text) for part, text in given.items()}
        elif verb == "note":
            self.notes.append(str(given["text"]))
        made = None if reading is None else reading.id
        entry = Entry(len(self.entries) + 1, minute, verb, given, event.message, made, event.context)
        self.entries.append(entry)

    def _follow(self, line: Line, witness: Witness | None) -> None:
        where = f"{self.path}, line {line.n + 1}"
        try:
            given = checked(line.action, line.arguments)
            self._allow(line.action, given)
            minute, state = self.minutes, state_words(self._session.truck)
            if witness is not None:
                witness.before(self._session, line.action, given)
            event = self._session.apply(line.action, given)
        except Refused as refusal:
            raise AttemptError(
                f"{where} holds an action that cannot have happened ({refusal}): {_DIFFERS}."
            ) from None
        reading = self._reading(line.action, given, event, minute, state)
        expected = _line(line.action, given, minute, reading)
        same = expected.result == line.result or _rounded_otherwise(
            event.reading, expected.result, line.result
        )
        if (expected.minute, expected.arguments) != (line.minute, line.arguments) or not same:
            shown = "nothing" if line.result is None else f"{line.result.display!r} at minute {line.minute:g}"
            found = "nothing" if reading is None else f"{reading.display!r} at minute {minute:g}"
            raise AttemptError(f"{where} tells of {shown} where a replay gives {found}: {_DIFFERS}.")
        self._record(line.action, given, minute, event, reading)
        if witness is not None:
            witness.after(self._session, event)


def start(
    order_id: str, learner: str, path: Path | str | None = None, hand_out: Path | str | None = None
) -> Attempt:
    """Start a work order; the attempt is recorded in ``path`` (default: attempt-ORDER.jsonl in this folder).

    ``hand_out`` names the class's hand-out; without it, a hand-out.json beside the attempt is used if it is
    this learner's and has a ticket for the order; otherwise the fault is drawn for self-study from order
    and learner. Raises OrderError for an unknown order or learner id, AttemptError when the file is there
    already.
    """
    order = order_named(order_id)
    check_learner(learner)
    file = Path(path) if path is not None else Path(f"attempt-{order.id}.jsonl")
    ticket = _ticket_for(order, learner, file, None if hand_out is None else Path(hand_out))
    header = Header(
        format=FORMAT,
        version=VERSION,
        order=order.id,
        learner=learner,
        ticket=ticket,
        data_digest=data_digest(),
        created=datetime.now(UTC).isoformat(timespec="seconds"),
    )
    opened = _opened(ticket, order.id, learner)
    return Attempt(create_log(file, header), order, opened)


def resume(path: Path | str) -> Attempt:
    """Go on with an attempt file; a torn last line is moved to a side file, named in ``Attempt.set_aside``.

    Raises AttemptError, with the line and what to do, for a file that is missing, damaged or edited.
    """
    log = read_log(path)
    aside = set_torn_aside(log)
    attempt = replayed(log if aside is None and not log.unfinished else read_log(path))
    attempt.set_aside = aside
    return attempt


def replayed(log: Log, witness: Witness | None = None) -> Attempt:
    """The attempt that a log tells, built anew from its actions; AttemptError where its lines differ."""
    header = log.header
    opened = _opened(header.ticket, header.order, header.learner)
    return Attempt(log, order_named(header.order), opened, witness)


def truck_parameters(ticket: Ticket) -> Parameters:
    """The learner's truck: tolerances and severities drawn from the ticket's seed; one draw."""
    return draw_parameters(ticket.faults, 1, np.random.default_rng(ticket.seed))


def _opened(sealed: str, order: str, learner: str) -> Ticket:
    ticket = unseal(sealed)
    if (ticket.order, ticket.learner) != (order, learner):
        raise AttemptError(
            f"The ticket is for {ticket.learner} and order {ticket.order!r}, "
            f"not for {learner} and {order!r}: start from your own hand-out."
        )
    return ticket


def _ticket_for(order: Order, learner: str, file: Path, hand_out: Path | None) -> str:
    beside = file.parent / HAND_OUT_NAME
    if hand_out is None and beside.is_file():
        found = read_hand_out(beside)
        if order.id not in found.tickets:
            return seal(draw_ticket(order, learner))
    elif hand_out is None:
        return seal(draw_ticket(order, learner))
    else:
        found = read_hand_out(hand_out)
        if order.id not in found.tickets:
            raise AttemptError(
                f"{hand_out} has no ticket for {order.id!r}; {nearest(order.id, found.tickets)}"
            )
    if found.learner != learner:
        raise AttemptError(
            f"The hand-out is for learner {found.learner!r}, not for {learner!r}: "
            f"start with learner={found.learner!r}."
        )
    return found.tickets[order.id]


def _rounded_otherwise(read: Outcome | None, expected: Result | None, told: Result | None) -> bool:
    """Whether a file tells of a number that is the replay's but for one step of its last digit.

    Another machine works sums out alike to some ten-thousandth of such a step, which now and then lies where one is rounded up
    here and down there. Nothing is won by writing the other one: what counts is what the replay shows.
    """
    if read is None or expected is None or told is None:
        return False
    return told.display in read.nearly() and told == msgspec.structs.replace(expected, display=told.display)


def _line(verb: str, given: dict[str, Value], minute: float, reading: Reading | None) -> Line:
    result = None if reading is None else Result(reading.display, reading.unit, reading.id)
    return Line(0, minute, verb, given, result, "")
