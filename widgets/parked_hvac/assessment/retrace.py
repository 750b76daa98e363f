"""An attempt done again on the learner's own truck, with what the judge needs to know of every line.

Nothing that the file says of results is used: readings, states and hazards come from the replay.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from parked_hvac.assessment.safety import breaches
from parked_hvac.diagnosis.labour_time import minutes_of
from parked_hvac.diagnosis.prediction import Observed
from parked_hvac.diagnosis.predictions import Step, observed
from parked_hvac.job.order import Order
from parked_hvac.job.session import Session
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

    @property
    def diagnosis(self) -> tuple[Line, ...]:
        """The lines before the first conclusion or repair: what came later was not known then."""
        for index, line in enumerate(self.lines):
            if line.verb in ("conclude", "repair"):
                return self.lines[:index]
        return self.lines

    @property
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
            Step(line.n, "wait", {"seconds": 60.0 * minutes_of(line.verb, line.arguments)})
            if line.n in self.echoes
            else Step(line.n, line.verb, line.arguments)
            for line in self.diagnosis
        )

    def seen(self) -> dict[int, Observed]:
        """What the readings of the diagnosis showed, by number of action."""
        return {line.n: line.seen for line in self.diagnosis if line.seen is not None}


def retrace(order: Order, truck: Parameters, actions: Sequence[tuple[str, Mapping[str, Any]]]) -> Retrace:
    """Do the actions again on the learner's truck (one draw). Raises Refused where one cannot be done."""
    session = Session(order, truck)
    lines: list[Line] = []
    readings = 0
    for n, (verb, arguments) in enumerate(actions, 1):
        minute, now = session.minutes, mode(session.truck)
        broken = breaches(session, verb, arguments)
        event = session.apply(verb, arguments)
        reading = None
        if event.reading is not None:
            readings += 1
            reading = f"r{readings}"
        lines.append(
            Line(
                n=n,
                minute=minute,
                verb=verb,
                arguments=_with_leads(verb, arguments, event.context),
                context=event.context,
                mode=now,
                breaches=broken,
                seen=None if event.reading is None else observed(event.reading),
                display="" if event.reading is None else event.reading.display[0],
                label=str(event.context.get("label", verb)),
                state=str(event.context.get("state", "")),
                reading=reading,
            )
        )
    return Retrace(order, tuple(lines), session.minutes)


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
