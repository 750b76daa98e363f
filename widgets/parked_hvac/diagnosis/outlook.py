"""What every check of the list would show, for all draws of all candidates, in each state of the truck."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from parked_hvac.diagnosis.cast import Cast, cast_of
from parked_hvac.diagnosis.checks import Check, checks, warming
from parked_hvac.diagnosis.ensemble import fresh
from parked_hvac.diagnosis.information import outcome_table
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.prediction import Observed, Prediction
from parked_hvac.diagnosis.predictions import Step, observed, prediction
from parked_hvac.diagnosis.states import STATES, Stand
from parked_hvac.diagnosis.walk import Walk
from parked_hvac.instruments import meter
from parked_hvac.instruments.outcome import Outcome
from parked_hvac.job.checks import CHECKS
from parked_hvac.job.order import Order
from parked_hvac.job.session import Session
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.parameters import Parameters

DRAWS = 16
"""Trucks of each candidate: enough to plan with. What a path is worth is then weighed with as many as an attempt."""
OPENING_S = 240.0
"""How long the unit runs while the complaint is confirmed."""
_CELLS = 24
"""Parts into which the numbers of a check are sorted in the tables; the best ones are weighed finer."""


@dataclass(frozen=True)
class Outlook:
    """Predictions of every check by key, and their outcomes sorted into a table, before anything was read."""

    cast: Cast
    told: Mapping[str, Prediction]
    table: Floats
    """Probability of each outcome of each check under each candidate, (M, C, K), in the order of ``checks()``."""


@lru_cache(maxsize=2)
def outlook(order: Order) -> Outlook:
    """Take trucks of all candidates into each state and read every check; kept, as it does not depend on any learner."""
    cast = cast_of(order, DRAWS)
    walk = Walk(order, cast)
    told: dict[str, Prediction] = {}
    for moment in dict.fromkeys(check.moment for check in checks()):
        session = walk.trucks_after(_way_to(*moment))
        for check in checks():
            if check.moment == moment:
                told[check.key] = prediction(check.verb, _read(session, check), cast.count)
    return Outlook(cast, told, _table(cast, [told[check.key] for check in checks()]))


class Answers:
    """What every check shows on one truck, read when asked for."""

    def __init__(self, order: Order, truck: Parameters) -> None:
        self._order, self._truck = order, truck
        self._sessions: dict[tuple[str, str | None], Session] = {}

    def __getitem__(self, check: Check) -> Observed:
        """What the check shows, in its state."""
        if check.moment not in self._sessions:
            session = Session(self._order, self._truck, context=False)
            session.open_covers.update(catalogue().covers)
            for step in _way_to(*check.moment):
                session.apply(step.verb, step.arguments)
            self._sessions[check.moment] = session
        return observed(_read(self._sessions[check.moment], check))


def _table(cast: Cast, told: list[Prediction]) -> Floats:
    even = np.full(len(cast.among), 1.0 / len(cast.among))
    unread = fresh(len(cast.among), cast.count)
    tables = [outcome_table(unread.forecast([one]), 0, even, _CELLS) for one in told]
    whole = np.zeros((len(tables), len(cast.among), max(table.shape[1] for table in tables)))
    for m, table in enumerate(tables):
        whole[m, :, : table.shape[1]] = table
    return whole


def _way_to(state: str, warmed: str | None) -> list[Step]:
    """Into a state, after the unit was run to confirm the complaint: no other check comes before that.

    Covers only decide what can be reached, so that they are off here and take no time.
    """
    stand = Stand(open_covers=frozenset(catalogue().covers)).ready_for("parked", ())
    stand = stand.doing(("wait", {"seconds": OPENING_S}))
    stand = stand.ready_for(state, (), STATES[state].plugs)
    ways = [action for action in (*stand.actions, *warming(warmed)) if action[0] != "prepare"]
    return [Step(n, verb, arguments) for n, (verb, arguments) in enumerate(ways, 1)]


def _read(session: Session, check: Check) -> Outcome:
    """The reading without the minute it takes, so that all checks see the same moment."""
    arguments = check.arguments
    if check.verb == "measure" and arguments["function"] == "dc_volts":
        # Without the meter's 10 megohm: it matters on floating leads only, and this is for planning.
        volts = session.truck.voltage_V(arguments["red"], arguments["black"])
        return meter.show("dc_volts", volts, meter.gain_error(session.truck))
    done = CHECKS[check.verb](session, dict(arguments))
    assert done.reading is not None
    return done.reading
