"""The state of truck and work in words and numbers, as rules and job card need it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from parked_hvac.job.session import Session
    from parked_hvac.rig.truck import Truck

DRIVE_CABLE = "W30"
DRIVE_FEED, DRIVE_GROUND = "T1.+", "T1.-"


def mode(truck: Truck, draw: int = 0) -> str:
    """State of one draw in a word that the spec sheet uses.

    'off', 'key_on', 'engine', 'engine_running', 'parked' or 'parked_running' (with the compressor running).
    """
    controls = truck.controls
    running = compressor_runs(truck, draw)
    if controls.key == "engine":
        return "engine_running" if running else "engine"
    if controls.parked_cooling:
        return "parked_running" if running else "parked"
    return "key_on" if controls.key == "on" else "off"


def state_words(truck: Truck, draw: int = 0) -> str:
    """State of one draw as a person would write it beside a reading, from what can be seen and heard."""
    controls = truck.controls
    first = {"engine": "engine running", "on": "parked, key on", "off": "parked"}[controls.key]
    if compressor_runs(truck, draw):
        return f"{first}, compressor running"
    if controls.parked_cooling:
        return f"{first}, unit on, compressor still"
    return f"{first}, unit off" if controls.key != "engine" else f"{first}, compressor still"


def compressor_runs(truck: Truck, draw: int = 0) -> bool:
    """Whether the compressor of one draw turns."""
    return bool(truck.compressor.rpm[draw] > 1.0)


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
    words = state_words(truck)
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
        "state": f"{words} {current_A:.0f} A" if compressor_runs(truck) else words,
        "mode": mode(truck),
        "compressor_running": compressor_runs(truck),
        "compressor_current_A": current_A,
        "capacitor_V": capacitor_V(truck),
        "meter_proved": session.meter_proved,
        "leads_touched": session.leads_touched,
        "leads": None if session.leads is None else session.leads.as_tuple(),
        "repaired": list(session.repaired),
    }
