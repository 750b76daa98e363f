"""What every check of the list would show, for all draws of all candidates, in each state of the truck."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from parked_hvac.diagnosis.cast import Cast
from parked_hvac.diagnosis.checks import Check, checks
from parked_hvac.diagnosis.prediction import Observed, Prediction
from parked_hvac.diagnosis.predictions import observed, prediction
from parked_hvac.diagnosis.states import PLUGS, STATES, Stand, all_covers
from parked_hvac.instruments import meter
from parked_hvac.instruments.outcome import Outcome
from parked_hvac.job.checks import CHECKS
from parked_hvac.job.order import Order, order_named
from parked_hvac.job.session import Session
from parked_hvac.rig.parameters import Parameters, join

_COMPANY = 12


def outcomes(order: Order, trucks: Parameters) -> dict[str, Outcome]:
    """Outcome of every check by key, each in its state as it is soon after that state was reached."""
    found: dict[str, Outcome] = {}
    for state in STATES:
        session = _in_state(order, trucks, state)
        for check in checks():
            if check.state == state:
                found[check.key] = _read(session, check)
    return found


def shown(order: Order, truck: Parameters) -> dict[str, Observed]:
    """What every check shows on one truck, keeping time as many trucks do (see ``predictions.foretell``)."""
    return {key: observed(outcome) for key, outcome in outcomes(order, join([truck] * _COMPANY)).items()}


@lru_cache(maxsize=4)
def outlook(order_id: str, cast: Cast) -> Mapping[str, Prediction]:
    """Predictions of every check by key; kept, as they do not depend on any learner."""
    verbs = {check.key: check.verb for check in checks()}
    found = outcomes(order_named(order_id), cast.trucks())
    return {key: prediction(verbs[key], outcome, cast) for key, outcome in found.items()}


def _in_state(order: Order, trucks: Parameters, state: str) -> Session:
    session = Session(order, trucks, context=False)
    # Covers only decide what can be reached, so that they take no time here.
    session.open_covers.update(all_covers())
    stand = Stand(open_covers=frozenset(all_covers())).ready_for(
        state, (), PLUGS if STATES[state].dead else ()
    )
    for verb, arguments in stand.actions:
        if verb != "prepare":
            session.apply(verb, arguments)
    return session


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
