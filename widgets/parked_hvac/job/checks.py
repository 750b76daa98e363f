"""The verbs that read: each takes its reading first, then its time passes."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from parked_hvac.instruments import battery_testers, clamp, data_link_reader, meter, senses, thermometer
from parked_hvac.instruments.hold import HOLDABLE
from parked_hvac.instruments.specification import tools
from parked_hvac.job import access
from parked_hvac.job.errors import Refused
from parked_hvac.job.labour import labour
from parked_hvac.job.session import Done, Leads
from parked_hvac.job.spoken import terminals
from parked_hvac.rig.catalogue import catalogue

if TYPE_CHECKING:
    from parked_hvac.instruments.outcome import Outcome
    from parked_hvac.job.session import Session

Given = dict[str, Any]
LABELS = {
    "dc_volts": "DC volts",
    "ac_volts": "AC volts",
    "ohms": "ohms",
    "continuity": "continuity",
    "diode": "diode",
    "hertz": "hertz",
}
_PHASES = tuple(f"{part}.{phase}" for part in ("T1", "M1") for phase in "UVW")


def measure(session: Session, given: Given) -> Done:
    """The meter, held extreme if the hold is armed."""
    leads = _leads(session, given)
    session.reach(leads)
    if session.hold is not None and leads != session.leads and leads.function not in HOLDABLE:
        raise Refused(f"The meter holds no extreme on {LABELS[leads.function]}: switch the hold off first.")
    facts = lead_facts(session, leads)
    session.move_leads(leads)
    if session.hold is not None:
        outcome = session.hold.show(session.truck)
        held = f" ({session.hold.mode}imum held)"
    else:
        outcome, held = meter.read(session.truck, *leads.as_tuple()), ""
    facts["held"] = None if session.hold is None else session.hold.mode
    return _done("measure", f"{LABELS[leads.function]}, {leads.red} to {leads.black}{held}", outcome, facts)


def touch_leads(session: Session, given: Given) -> Done:
    """The meter's leads together."""
    session.leads_touched = True
    return _done("touch_leads", "ohms, leads together", meter.touch_leads(session.truck))


def prove_meter(session: Session, given: Given) -> Done:
    """The known source."""
    session.meter_proved = True
    return _done(
        "prove_meter", f"DC volts, known source of {meter.proving_text()}", meter.prove(session.truck)
    )


def read_clamp(session: Session, given: Given) -> Done:
    """The DC clamp around a cable."""
    cable = given["cable"]
    access.reach("clamp", given, session.open_covers)
    empty = clamp.read_empty(session.truck).shown()
    return _done("clamp", f"clamp, cable {cable} (jaws empty: {empty})", clamp.read(session.truck, cable))


def read_thermometer(session: Session, given: Given) -> Done:
    """The thermometer on a point."""
    point = given["point"]
    access.reach("thermometer", given, session.open_covers)
    return _done("thermometer", f"thermometer, {point}", thermometer.read(session.truck, point))


def test_battery(session: Session, given: Given) -> Done:
    """A battery's conductance."""
    battery = given["battery"]
    access.reach("test_battery", given, session.open_covers)
    return _done(
        "test_battery", f"conductance, {battery}", battery_testers.conductance(session.truck, battery)
    )


def load_test(session: Session, given: Given) -> Done:
    """A battery under the load resistor."""
    battery = given["battery"]
    access.reach("load_test", given, session.open_covers)
    return _done(
        "load_test", f"volts under load, {battery}", battery_testers.under_load(session.truck, battery)
    )


def read_codes(session: Session, given: Given) -> Done:
    """Codes on the data link."""
    return _done("read_codes", "codes", data_link_reader.read_codes(session.truck))


def read_live(session: Session, given: Given) -> Done:
    """A live value on the data link."""
    value = given["value"]
    outcome = data_link_reader.read_live(session.truck, value)
    return _done("read_live", f"live value, {tools().live[value].label}", outcome)


def look(session: Session, given: Given) -> Done:
    """Eyes."""
    return _notice(session, "look", given["location"])


def feel(session: Session, given: Given) -> Done:
    """Hands."""
    return _notice(session, "feel", given["location"])


def listen(session: Session, given: Given) -> Done:
    """Ears."""
    return _notice(session, "listen", given["location"])


def lead_facts(session: Session, leads: Leads) -> dict[str, Any]:
    """What rules must know of leads on two terminals, such as the live voltage before ohms."""
    facts: dict[str, Any] = {"function": leads.function, "red": leads.red, "black": leads.black}
    if leads.function in meter.PUSHING:
        facts["live_V"] = standing_V(session, leads)
    facts["compressor_terminals"] = leads.red in _PHASES or leads.black in _PHASES
    return facts


def standing_V(session: Session, leads: Leads) -> float:
    """Larger of steady and alternating voltage between two terminals of the first draw, without a meter."""
    truck = session.truck
    steady = abs(float(truck.voltage_V(leads.red, leads.black)[0]))
    wave = truck.waveform(leads.red, leads.black) if leads.red != leads.black else None
    return steady if wave is None else max(steady, float(wave.ac_rms_V.ravel()[0]))


def _leads(session: Session, given: Given) -> Leads:
    placed = session.leads
    if placed is None and not {"function", "red", "black"} <= given.keys():
        raise Refused("The leads are nowhere: name function, red and black, or place the leads first.")
    before = placed.as_tuple() if placed is not None else ("", "", "")
    return Leads(
        *(given.get(name, value) for name, value in zip(("function", "red", "black"), before, strict=True))
    )


def _notice(session: Session, sense: str, location: str) -> Done:
    access.reach(sense, {"location": location}, session.open_covers)
    place = catalogue().locations[location]
    return _done(sense, f"{sense}, {place}", senses.notice(session.truck, sense, location))


def _done(verb: str, label: str, outcome: Outcome, facts: dict[str, Any] | None = None) -> Done:
    read = terminals(label)
    return Done(labour().verbs[verb], f"{read}: {outcome.shown()}", outcome, {"label": read, **(facts or {})})


CHECKS: dict[str, Callable[[Session, Given], Done]] = {
    "measure": measure,
    "touch_leads": touch_leads,
    "prove_meter": prove_meter,
    "clamp": read_clamp,
    "thermometer": read_thermometer,
    "test_battery": test_battery,
    "load_test": load_test,
    "read_codes": read_codes,
    "read_live": read_live,
    "look": look,
    "feel": feel,
    "listen": listen,
}
