"""Words of the debrief: checks, causes and lists as a person would say them aloud."""

from __future__ import annotations

from collections.abc import Sequence

from parked_hvac.diagnosis.checks import Check
from parked_hvac.instruments.specification import tools
from parked_hvac.job import spoken
from parked_hvac.job.actions import AND
from parked_hvac.job.checks import LABELS
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.faults import faults

_STATES = {
    "off": "all switched off",
    "parked": "parked, unit asked to cool",
    "engine": "engine running",
    "apart": "all switched off, the plug parted",
    "sense fuse out": "engine running, fuse F7 pulled",
    "dead": "unit dead, capacitors discharged",
}
_SPOKEN = {
    "read_codes": "read the codes",
    "clamp": "clamp around cable {}",
    "thermometer": "thermometer on {}",
    "test_battery": "conductance of battery {}",
    "load_test": "load test of battery {}",
}
_SENSES = ("look", "feel", "listen")


def check_words(check: Check) -> str:
    """A check and its state: 'DC volts from K1.30 to K1.87; parked, unit asked to cool'."""
    values = [str(value) for value in check.arguments.values()]
    if check.verb == "measure":
        function, red, black = values
        told = f"{LABELS[function]} from {red} to {black}"
    elif check.verb in _SENSES:
        told = f"{check.verb}: {catalogue().locations[values[0]]}"
    elif check.verb == "read_live":
        told = f"read the live value {tools().live[values[0]].label}"
    else:
        told = _SPOKEN[check.verb].format(*values)
    warm = "" if check.warmed is None else f", {check.warmed} warm from the hand"
    return f"{spoken.terminals(told)}; {_STATES[check.state]}{warm}"


def title(name: str) -> str:
    """A cause in words: 'A and B' for two."""
    return " and ".join(faults()[part].title for part in name.split(AND))


def listed(items: Sequence[str], most: int = 3) -> str:
    """'A; B; C and 4 more'."""
    told = "; ".join(items[:most])
    return told if len(items) <= most else f"{told} and {len(items) - most} more"


def percent(probability: float) -> str:
    """A probability without false certainty."""
    if probability >= 0.995:
        return f"more than {spoken.percent(0.99)}"
    return spoken.percent(probability) if probability >= 0.005 else f"less than {spoken.percent(0.01)}"
