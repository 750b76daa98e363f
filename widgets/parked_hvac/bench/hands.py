"""What hands do besides the meter: the truck's controls, what the place allows, how one prepares."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from parked_hvac.bench.frontend import Panel, script, style
from parked_hvac.bench.steps import listed_steps, plain_steps
from parked_hvac.bench.words import PREPARATIONS, minutes
from parked_hvac.job.actions import actions
from parked_hvac.job.labour import labour
from parked_hvac.rig.catalogue import catalogue

if TYPE_CHECKING:
    from parked_hvac.bench.screen import Screen
    from parked_hvac.job.attempt import Attempt

WAITS = ((10, "10 s"), (60, "1 min"), (900, "15 min"), (3600, "1 h"))
KEYS = (("off", "off"), ("on", "on"), ("engine", "engine"))
KNOBS = {"blower": ("set_blower", "step"), "set": ("set_temperature", "celsius")}


class Hands(Panel):
    """Truck, place and preparation."""

    _esm = script("hands")
    _css = style("hands")


def fixed() -> dict[str, Any]:
    """Positions of the key and lengths of a wait."""
    return {"keys": [list(one) for one in KEYS], "waits": [list(one) for one in WAITS]}


def view(attempt: Attempt, screen: Screen) -> dict[str, Any]:
    """What can be done now."""
    controls = attempt.controls
    return {
        "truck": {
            "key": controls.key,
            "parked": controls.parked_cooling,
            "blower": controls.blower_step,
            "set": f"{controls.set_temperature_C:g} °C",
            "blower_down": _knob(attempt, "blower", -1),
            "blower_up": _knob(attempt, "blower", +1),
            "set_down": _knob(attempt, "set", -1),
            "set_up": _knob(attempt, "set", +1),
        },
        "moved": None if screen.trace is None else screen.trace.for_screen(),
        "shut": _shut(attempt, screen.location),
        "place": catalogue().locations[screen.location],
        "here": {
            "buttons": [
                [step.words, step.message(), step.spoken]
                for step in plain_steps(attempt, screen.location)
                if step.words
            ],
            "pickers": [
                [f"{screen.location}-{key}", label, [[step.words, step.message()] for step in steps], go]
                for key, label, steps, go in listed_steps(attempt, screen.location)
            ],
        },
        "prepare": [
            [step, PREPARATIONS.get(step, step.replace("_", " ")), minutes(time), step in attempt.prepared]
            for step, time in labour().prepare.items()
        ],
    }


def _shut(attempt: Attempt, location: str) -> str | None:
    """What keeps the hands out, if a cover of the place is on."""
    for name, cover in catalogue().covers.items():
        if cover.location == location and name not in attempt.open_covers:
            return f"The {cover.label} is on; there is more to do under it."
    return None


def turned(attempt: Attempt, knob: str, by: int) -> tuple[str, dict[str, Any]] | None:
    """The action that turns a knob by some notches from where it stands now; None at its end."""
    verb, argument = KNOBS[knob]
    controls = attempt.controls
    now = controls.blower_step if knob == "blower" else controls.set_temperature_C
    limits = next(one for one in actions()[verb].arguments if one.name == argument)
    assert limits.low is not None
    assert limits.high is not None
    wanted = now + by
    return (verb, {argument: wanted}) if limits.low <= wanted <= limits.high else None


def _knob(attempt: Attempt, knob: str, by: int) -> dict[str, Any]:
    # The click says "one notch up", not "to 3": two quick clicks then are two notches.
    off = None if turned(attempt, knob, by) else "The knob is at its end."
    return {"message": {"do": "turn", "knob": knob, "by": by}, "off": off}
