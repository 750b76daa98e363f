"""An attempt done again on the learner's own truck, with what the judge needs to know of every line.

Nothing that the file says of results is used: readings, states and hazards come from the replay.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from parked_hvac.assessment.safety import breaches
from parked_hvac.diagnosis.prediction import Observed
from parked_hvac.diagnosis.predictions import Step, observed
from parked_hvac.job.order import Order
from parked_hvac.job.session import Event, Session
from parked_hvac.job.situation import mode
from parked_hvac.rig.parameters import Parameters

ABOUT_THE_METER = frozenset({"prove_meter", "touch_leads"})
"""Readings that tell of the meter, not of the truck."""
_SOON_MIN = 30.0
"""A reading that shows the same after longer than this tells that something held."""
SENSES = frozenset({"look", "feel", "listen", "thermometer", "read_live"})


@dataclass(frozen=True)
class Line:
    """One action as it was done again; it stands in line ``line`` of the attempt file."""

    n: int
    minute: float
    verb: str
    arguments: Mapping[str, Any]
    context: Mapping[str, Any] = field(repr=False)
    """State of truck and work before it."""
    mode: str
    breaches: tuple[str, ...] = ()
    """Safety rules it broke."""
    seen: Observed | None = None
    display: str = ""
    label: str = ""
    state: str = ""
    reading: str | None = None
    """Id of the reading it yielded."""

    @property
    def line(self) -> int:
        """Number of its line in the attempt file."""
        return self.n + 1

    @property
    def question(self) -> tuple[str, ...]:
        """What was asked of the truck, in which state of it; a knob may be dead at one step of the blower alone."""
        step = str(self.context.get("blower_step", "")) if self.tells_of_truck else ""
        mode = self.mode if self.tells_of_truck else ""
        return (self.verb, *map(str, self.arguments.values()), mode, step)

    @property
    def tells_of_truck(self) -> bool:
        """Whether it is a reading of the truck."""
        return self.seen is not None and self.verb not in ABOUT_THE_METER


@dataclass(frozen=True)
class Retrace:
    """All lines of an attempt, and the minutes it took in all."""

    order: Order
    lines: tuple[Line, ...]
    minutes: float

    @property
    def conclusion(self) -> Line | None:
        """The first conclusion: it is the one that counts."""
        return next((line for line in self.lines if line.verb == "conclude"), None)

    @cached_property
    def diagnosis(self) -> tuple[Line, ...]:
        """The lines before the first conclusion or repair: what came later was not known then."""
        for index, line in enumerate(self.lines):
            if line.verb in ("conclude", "repair"):
                return self.lines[:index]
        return self.lines

    @cached_property
    def readings(self) -> tuple[Line, ...]:
        """Readings of the truck before the first conclusion or repair."""
        return tuple(line for line in self.diagnosis if line.tells_of_truck)

    @property
    def repairs(self) -> tuple[Line, ...]:
        """All repairs, in order."""
        return tuple(line for line in self.lines if line.verb == "repair")

    def verdicts(self) -> dict[str, Line]:
        """Reading id → the verdict that stood when the learner concluded."""
        found: dict[str, Line] = {}
        for line in self.lines:
            if line.verb == "conclude":
                break
            if line.verb == "judge":
                found[str(line.arguments["reading"])] = line
        return found

    @cached_property
    def echoes(self) -> dict[int, int]:
        """Readings that show once more what was read soon before in the same state → the one that they repeat; by number.

        An echo is no evidence of its own: written down ten times, it counts once.
        """
        first: dict[tuple[str, ...], Line] = {}
        found: dict[int, int] = {}
        for line in self.diagnosis:
            if line.verb == "change_meter":
                first = {}
            if line.seen is None:
                continue
            key = (*line.question, line.display)
            before = first.get(key)
            later = before is None or line.minute - before.minute > _SOON_MIN
            if before is None or (later and line.tells_of_truck):
                first[key] = line
            else:
                found[line.n] = before.n
        return found

    def steps(self) -> tuple[Step, ...]:
        """The actions of the diagnosis, for the candidates to go through; an echo is time that passes."""
        return tuple(
            Step(line.n, line.verb, line.arguments, echo=line.n in self.echoes) for line in self.diagnosis
        )

    def seen(self) -> dict[int, Observed]:
        """What the readings of the diagnosis showed, by number of action."""
        return {line.n: line.seen for line in self.diagnosis if line.seen is not None}


class Retracing:
    """Notes of each action what the judge needs to know, while the attempt is done again: a witness of its replay."""

    def __init__(self) -> None:
        self._lines: list[Line] = []
        self._readings = 0
        self._minutes = 0.0
        self._ahead: tuple[str, Mapping[str, Any], str, tuple[str, ...]] = ("", {}, "", ())

    def before(self, session: Session, verb: str, given: Mapping[str, Any]) -> None:
        """Note in which state an action is taken, and which safety rules it breaks."""
        self._ahead = (verb, given, mode(session.truck), breaches(session, verb, given))

    def after(self, session: Session, event: Event) -> None:
        """Note what came of it."""
        verb, given, now, broken = self._ahead
        found, reading = event.reading, None
        if found is not None:
            self._readings += 1
            reading = f"r{self._readings}"
        self._lines.append(
            Line(
                n=len(self._lines) + 1,
                minute=self._minutes,
                verb=verb,
                arguments=_with_leads(verb, given, event.context),
                context=event.context,
                mode=now,
                breaches=broken,
                seen=None if found is None else observed(found),
                display="" if found is None else found.display[0],
                label=str(event.context.get("label", verb)),
                state=str(event.context.get("state", "")),
                reading=reading,
            )
        )
        self._minutes = session.minutes

    def done(self, order: Order) -> Retrace:
        """All that was noted."""
        return Retrace(order, tuple(self._lines), self._minutes)


class Doing:
    """A job done for the judge on a learner's truck (one draw), some actions and then some more."""

    def __init__(self, order: Order, truck: Parameters) -> None:
        self._session, self._retracing = Session(order, truck), Retracing()

    def go_on(self, actions: Sequence[tuple[str, Mapping[str, Any]]]) -> Retrace:
        """Do some actions more; all so far. Raises Refused where one cannot be done."""
        for verb, arguments in actions:
            self._retracing.before(self._session, verb, arguments)
            self._retracing.after(self._session, self._session.apply(verb, arguments))
        return self._retracing.done(self._session.order)


def retrace(order: Order, truck: Parameters, actions: Sequence[tuple[str, Mapping[str, Any]]]) -> Retrace:
    """Do actions on a learner's truck (one draw) for the judge. Raises Refused where one cannot be done."""
    return Doing(order, truck).go_on(actions)


def asked_to_cool(lines: Iterable[Line]) -> Iterator[tuple[Line, float]]:
    """Each line done while the unit was asked to cool, with the seconds since it was first asked in these lines."""
    since: float | None = None
    for line in lines:
        context = line.context
        powered = context.get("parked_cooling") or context.get("engine_running")
        if not (powered and context.get("blower_step")):
            since = None
            continue
        since = line.minute if since is None else since
        yield line, (line.minute - since) * 60.0


def _with_leads(verb: str, arguments: Mapping[str, Any], context: Mapping[str, Any]) -> dict[str, Any]:
    """A measurement names its leads, also where they were placed before."""
    given = dict(arguments)
    if verb == "measure":
        for name in ("function", "red", "black"):
            given.setdefault(name, context[name])
    return given
