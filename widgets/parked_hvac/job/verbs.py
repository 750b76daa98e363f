"""The verbs that change truck, leads or paper; those that read are in ``checks``.

Every verb first makes sure that it can be done (Refused otherwise, nothing changed), then does it. Time
passes after.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from parked_hvac.instruments.hold import HOLDABLE
from parked_hvac.job import access, checks
from parked_hvac.job.actions import Value
from parked_hvac.job.errors import Refused
from parked_hvac.job.labour import labour
from parked_hvac.job.mend import mended, renewed_batteries
from parked_hvac.job.session import Done, Leads
from parked_hvac.job.spoken import terminals
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.faults import faults, title_of

if TYPE_CHECKING:
    from parked_hvac.job.session import Session

Given = dict[str, Any]
Verb = Callable[["Session", dict[str, Value]], Done]


def prepare(session: Session, given: Given) -> Done:
    """A step of preparation."""
    step = given["step"]
    session.prepared.add(step)
    return Done(labour().prepare[step], f"Done: {step.replace('_', ' ')}.")


def open_cover(session: Session, given: Given) -> Done:
    """Take a cover off."""
    cover = given["cover"]
    label = catalogue().covers[cover].label
    if cover in session.open_covers:
        raise Refused(f"The {label} is off already.")
    session.open_covers.add(cover)
    return Done(labour().covers[cover].open, f"The {label} is off.")


def close_cover(session: Session, given: Given) -> Done:
    """Put a cover back; leads under it come off."""
    cover = given["cover"]
    label = catalogue().covers[cover].label
    if cover not in session.open_covers:
        raise Refused(f"The {label} is on already.")
    session.open_covers.discard(cover)
    under = session.leads is not None and any(
        catalogue().terminal(terminal).cover == cover for terminal in (session.leads.red, session.leads.black)
    )
    if under:
        session.move_leads(None)
    return Done(
        labour().covers[cover].close, f"The {label} is on." + (" The leads came off." if under else "")
    )


def part_connector(session: Session, given: Given) -> Done:
    """Part a connector."""
    name = given["connector"]
    connector = catalogue().connectors[name]
    if name in session.truck.controls.parted:
        raise Refused(f"The {connector.label} is parted already.")
    access.reach("part_connector", given, session.open_covers)
    currents = {contact: float(session.truck.current_A(contact)[0]) for contact in connector.opens}
    session.truck.part(name)
    facts = {"parted_current_A": max(map(abs, currents.values())), "kind": connector.kind}
    return Done(labour().connectors[connector.kind].part, f"The {connector.label} is parted.", facts=facts)


def seat_connector(session: Session, given: Given) -> Done:
    """Seat a connector."""
    name = given["connector"]
    connector = catalogue().connectors[name]
    if name not in session.truck.controls.parted:
        raise Refused(f"The {connector.label} is seated already.")
    access.reach("seat_connector", given, session.open_covers)
    session.truck.seat(name)
    return Done(labour().connectors[connector.kind].seat, f"The {connector.label} is seated.")


def pull_fuse(session: Session, given: Given) -> Done:
    """Pull a fuse."""
    name = given["fuse"]
    if name in session.truck.controls.pulled:
        raise Refused(f"Fuse {name} is pulled already.")
    access.reach("pull_fuse", given, session.open_covers)
    current_A = abs(float(session.truck.current_A(name)[0]))
    session.truck.pull_fuse(name)
    return Done(labour().verbs["pull_fuse"], f"Fuse {name} is pulled.", facts={"fuse_current_A": current_A})


def fit_fuse(session: Session, given: Given) -> Done:
    """Fit a fuse."""
    name = given["fuse"]
    if name not in session.truck.controls.pulled:
        raise Refused(f"Fuse {name} is in its holder already.")
    access.reach("fit_fuse", given, session.open_covers)
    session.truck.fit_fuse(name)
    return Done(labour().verbs["fit_fuse"], f"Fuse {name} is fitted.")


def switch_key(session: Session, given: Given) -> Done:
    """Turn the key."""
    position = given["position"]
    session.truck.set_key(position)
    told = {"off": "The key is off.", "on": "The key is on.", "engine": "The engine runs."}
    return Done(labour().verbs["switch_key"], told[position])


def switch_parked_cooling(session: Session, given: Given) -> Done:
    """Switch parked cooling."""
    session.truck.press_parked_cooling(given["on"])
    told = f"Parked cooling is switched {'on' if given['on'] else 'off'}."
    return Done(labour().verbs["switch_parked_cooling"], told)


def set_blower(session: Session, given: Given) -> Done:
    """Turn the blower knob."""
    session.truck.turn_blower(given["step"])
    return Done(labour().verbs["set_blower"], f"The blower knob is at {given['step']}.")


def set_temperature(session: Session, given: Given) -> Done:
    """Turn the temperature knob."""
    session.truck.turn_temperature(given["celsius"])
    return Done(labour().verbs["set_temperature"], f"The temperature knob is at {given['celsius']:g} °C.")


def wait(session: Session, given: Given) -> Done:
    """Let time pass."""
    return Done(given["seconds"] / 60.0, f"Waited {given['seconds']:g} s.")


def place_leads(session: Session, given: Given) -> Done:
    """Put the leads on two terminals."""
    leads = Leads(given["function"], given["red"], given["black"])
    session.reach(leads)
    facts = checks.lead_facts(session, leads)
    session.move_leads(leads)
    told = terminals(f"Red on {leads.red}, black on {leads.black}, {checks.LABELS[leads.function]}.")
    return Done(labour().verbs["place_leads"], told, facts=facts)


def hold(session: Session, given: Given) -> Done:
    """Arm or end the hold."""
    mode = given["mode"]
    if mode == "none":
        session.arm_hold(None)
        return Done(labour().verbs["hold"], "The hold is off.")
    if session.leads is None:
        raise Refused("The leads are nowhere: place them before the meter can hold a value.")
    if session.leads.function not in HOLDABLE:
        raise Refused(
            f"The meter holds no extreme on {checks.LABELS[session.leads.function]}: set it to DC volts, "
            "AC volts or hertz first."
        )
    session.arm_hold(mode)
    return Done(labour().verbs["hold"], f"The meter holds the {mode}imum from now on.")


def change_meter(session: Session, given: Given) -> Done:
    """Take the other meter."""
    session.swap_meter()
    return Done(labour().verbs["change_meter"], "The other meter is in hand.")


def warm_sensor(session: Session, given: Given) -> Done:
    """Warm a sensor between the fingers for a while."""
    sensor, seconds = given["sensor"], given["seconds"]
    access.reach("warm_sensor", given, session.open_covers)
    session.truck.warm_sensor(sensor, True)
    return Done(
        seconds / 60.0,
        f"{sensor} was held between the fingers for {seconds:g} s.",
        afterwards=lambda: session.truck.warm_sensor(sensor, False),
    )


def discharge_capacitors(session: Session, given: Given) -> Done:
    """Discharge the drive's capacitors."""
    access.reach("discharge_capacitors", given, session.open_covers)
    session.truck.discharge_capacitors()
    return Done(labour().verbs["discharge_capacitors"], "The discharge tool was on T1.+ and T1.−.")


def repair(session: Session, given: Given) -> Done:
    """Carry out the repair of a fault, whether it was the cause or not."""
    name = given["fault"]
    fault = faults()[name]
    access.reach("repair", given, session.open_covers)
    session.truck.repair(mended(session.truck.parameters, fault), renewed_batteries(fault))
    session.repaired.append(name)
    return Done(fault.repair_minutes, f"Done: {fault.repair} Now see whether the complaint is gone.")


def conclude(session: Session, given: Given) -> Done:
    """Name the cause."""
    session.concluded = given["cause"]
    return Done(labour().verbs["conclude"], f"Concluded: {title_of(given['cause'])}.")


def judge(session: Session, given: Given) -> Done:
    """Judge a reading; the attempt knows the readings."""
    return Done(labour().verbs["judge"], f"{given['reading']} judged: {given['verdict'].replace('_', ' ')}.")


def write_up(session: Session, given: Given) -> Done:
    """Write complaint, cause and correction."""
    return Done(labour().verbs["write_up"], "The write-up is on the job card.")


def note(session: Session, given: Given) -> Done:
    """Write a note."""
    return Done(labour().verbs["note"], "Noted.")


VERBS: dict[str, Verb] = {
    verb.__name__: verb
    for verb in (
        prepare,
        open_cover,
        close_cover,
        part_connector,
        seat_connector,
        pull_fuse,
        fit_fuse,
        switch_key,
        switch_parked_cooling,
        set_blower,
        set_temperature,
        wait,
        place_leads,
        hold,
        change_meter,
        warm_sensor,
        discharge_capacitors,
        repair,
        conclude,
        judge,
        write_up,
        note,
    )
} | checks.CHECKS
