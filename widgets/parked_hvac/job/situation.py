"""The state of truck and work in words and numbers, as rules and job card need it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from parked_hvac.job.session import Session
    from parked_hvac.rig.truck import Truck

DRIVE_CABLE = "W30"
DRIVE_FEED, DRIVE_GROUND = "T1.+", "T1.-"
_RUNNING_A = 3.0  # the drive idles below half an ampere, and takes ten and more with the compressor turning


def mode(truck: Truck, draw: int = 0) -> str:
    """State of one draw in a word that the spec sheet uses.

    'off', 'key_on', 'engine', 'engine_running', 'parked' or 'parked_running' (with the compressor running).
    """
    controls = truck.controls
    running = compressor_current_A(truck, draw) > _RUNNING_A
    if controls.key == "engine":
        return "engine_running" if running else "engine"
    if controls.parked_cooling:
        return "parked_running" if running else "parked"
    return "key_on" if controls.key == "on" else "off"


def state_words(truck: Truck, draw: int = 0) -> str:
    """State of one draw as a person would write it beside a reading."""
    controls = truck.controls
    first = {"engine": "engine running", "on": "parked, key on", "off": "parked"}[controls.key]
    current_A = compressor_current_A(truck, draw)
    if current_A > _RUNNING_A:
        return f"{first}, compressor running {current_A:.0f} A"
    if controls.parked_cooling:
        return f"{first}, unit on, compressor still"
    return f"{first}, unit off" if controls.key != "engine" else f"{first}, compressor still"


def compressor_current_A(truck: Truck, draw: int = 0) -> float:
    """Current into the drive of one draw."""
    return float(truck.current_A(DRIVE_CABLE)[draw])


def capacitor_V(truck: Truck, draw: int = 0) -> float:
    """Voltage on the drive's capacitors of one draw."""
    return float(truck.voltage_V(DRIVE_FEED, DRIVE_GROUND)[draw])


def situation(session: Session) -> dict[str, Any]:
    """What stood before an action, of the first draw; plain numbers, words and lists."""
    truck, controls = session.truck, session.truck.controls
    current_A = compressor_current_A(truck)
    return {
        "clock_minutes": session.minutes,
        "prepared": sorted(session.prepared),
        "key": controls.key,
        "engine_running": controls.key == "engine",
        "parked_cooling": controls.parked_cooling,
        "blower_step": controls.blower_step,
        "set_temperature_C": controls.set_temperature_C,
        "open_covers": sorted(session.open_covers),
        "parted": sorted(controls.parted),
        "pulled": sorted(controls.pulled),
        "state": state_words(truck),
        "mode": mode(truck),
        "compressor_running": current_A > _RUNNING_A,
        "compressor_current_A": current_A,
        "capacitor_V": capacitor_V(truck),
        "meter_proved": session.meter_proved,
        "leads_touched": session.leads_touched,
        "leads": None if session.leads is None else session.leads.as_tuple(),
        "repaired": list(session.repaired),
    }
