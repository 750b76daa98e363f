"""The vocabulary of the job: every action a learner can take, with its arguments, time and hazard."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from parked_hvac.instruments.meter import FUNCTIONS
from parked_hvac.instruments.specification import tools
from parked_hvac.job.errors import Refused
from parked_hvac.job.labour import labour
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.controls import KEY_POSITIONS
from parked_hvac.rig.faults import faults
from parked_hvac.rig.senses import POINTS
from parked_hvac.tables import nearest

Value = str | bool | int | float
VERDICTS = ("in_spec", "out_of_spec", "tells_nothing")
AND = " + "
"""Stands between two causes that are named together."""
MOST_CAUSES = 2
LONGEST_TEXT = 2000
LONGEST_WAIT_S = 8 * 3600.0


@dataclass(frozen=True)
class Argument:
    """One argument: its type, and the allowed names or the lowest and highest number."""

    name: str
    type: str  # "name", "causes" (one name, or two with ' + ' between), "text", "flag", "whole" or "number"
    names: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    required: bool = True


@dataclass(frozen=True)
class Action:
    """A verb: arguments, minutes (a number or how they come about), one sentence, a hazard tag."""

    verb: str
    arguments: tuple[Argument, ...]
    minutes: float | str
    sentence: str
    hazard: str | None = None
    reads: bool = False
    """Whether it yields a reading."""


@cache
def actions() -> dict[str, Action]:
    """The whole vocabulary by verb."""
    truck = catalogue()
    terminals = tuple(truck.terminals)
    function = Argument("function", "name", FUNCTIONS)
    red, black = Argument("red", "name", terminals), Argument("black", "name", terminals)
    probes = (_optional(function), _optional(red), _optional(black))
    places = (Argument("location", "name", tuple(truck.locations)),)
    batteries = (Argument("battery", "name", truck.batteries()),)
    sensor = Argument("sensor", "name", ("B1", "B2", "B3"))
    fixed = labour().verbs
    table = (
        Action(
            "prepare",
            (Argument("step", "name", tuple(labour().prepare)),),
            "by step",
            "Prepare truck or person.",
        ),
        Action("open_cover", _name("cover", truck.covers), "by cover", "Take a cover off."),
        Action("close_cover", _name("cover", truck.covers), "by cover", "Put a cover back."),
        Action(
            "part_connector",
            _name("connector", truck.connectors),
            "by connector",
            "Part a connector or take a lug off.",
            "arc",
        ),
        Action(
            "seat_connector",
            _name("connector", truck.connectors),
            "by connector",
            "Seat a connector or put a lug back.",
            "arc",
        ),
        Action("pull_fuse", _name("fuse", truck.fuses), fixed["pull_fuse"], "Pull a fuse.", "arc"),
        Action("fit_fuse", _name("fuse", truck.fuses), fixed["fit_fuse"], "Fit a fuse.", "arc"),
        Action(
            "switch_key",
            (Argument("position", "name", KEY_POSITIONS),),
            fixed["switch_key"],
            "Turn the key: off, on, or start the engine.",
            "engine",
        ),
        Action(
            "switch_parked_cooling",
            (Argument("on", "flag"),),
            fixed["switch_parked_cooling"],
            "Switch parked cooling at the panel.",
        ),
        Action(
            "set_blower",
            (Argument("step", "whole", low=0, high=5),),
            fixed["set_blower"],
            "Turn the blower knob.",
        ),
        Action(
            "set_temperature",
            (Argument("celsius", "number", low=16.0, high=28.0),),
            fixed["set_temperature"],
            "Turn the temperature knob.",
        ),
        Action(
            "wait",
            (Argument("seconds", "number", low=1.0, high=LONGEST_WAIT_S),),
            "seconds / 60",
            "Let time pass.",
        ),
        Action(
            "place_leads",
            (function, red, black),
            fixed["place_leads"],
            "Set the meter and put its leads on two terminals.",
            "live",
        ),
        Action(
            "hold",
            (Argument("mode", "name", ("none", "min", "max")),),
            fixed["hold"],
            "Let the meter hold the lowest or highest value from now on.",
        ),
        Action(
            "measure",
            probes,
            fixed["measure"],
            "Write the meter's reading down; with the leads as placed if none are named.",
            "live",
            True,
        ),
        Action(
            "touch_leads", (), fixed["touch_leads"], "Hold the meter's leads together on ohms.", None, True
        ),
        Action("prove_meter", (), fixed["prove_meter"], "Read the known source of the tool box.", None, True),
        Action("change_meter", (), fixed["change_meter"], "Lay this meter aside and take the other one."),
        Action(
            "clamp",
            _name("cable", truck.cables),
            fixed["clamp"],
            "Put the DC clamp around a cable.",
            None,
            True,
        ),
        Action(
            "thermometer",
            (Argument("point", "name", POINTS),),
            fixed["thermometer"],
            "Touch a point with the thermometer.",
            None,
            True,
        ),
        Action(
            "test_battery",
            batteries,
            fixed["test_battery"],
            "Read a battery's conductance at its posts.",
            "battery",
            True,
        ),
        Action(
            "load_test",
            batteries,
            fixed["load_test"],
            "Load a battery at its posts and read its voltage.",
            "battery",
            True,
        ),
        Action("read_codes", (), fixed["read_codes"], "Read the active codes on the data link.", None, True),
        Action(
            "read_live",
            (Argument("value", "name", tuple(tools().live)),),
            fixed["read_live"],
            "Read a live value on the data link.",
            None,
            True,
        ),
        Action("look", places, fixed["look"], "Look at a place.", None, True),
        Action("feel", places, fixed["feel"], "Feel at a place by hand.", "moving parts", True),
        Action("listen", places, fixed["listen"], "Listen at a place.", None, True),
        Action(
            "warm_sensor",
            (sensor, Argument("seconds", "number", low=1.0, high=600.0)),
            "seconds / 60",
            "Warm a sensor between the fingers.",
        ),
        Action(
            "discharge_capacitors",
            (),
            fixed["discharge_capacitors"],
            "Discharge the drive's capacitors through the discharge tool.",
            "stored energy",
        ),
        Action(
            "judge",
            (Argument("reading", "text"), Argument("verdict", "name", VERDICTS)),
            fixed["judge"],
            "Judge a reading by the spec sheet.",
        ),
        Action(
            "conclude",
            (Argument("cause", "causes", tuple(faults())),),
            fixed["conclude"],
            "Name the cause, or two causes: 'A + B'.",
        ),
        Action("repair", _name("fault", faults()), "by fault", "Carry out a repair.", "repair"),
        Action(
            "write_up",
            tuple(Argument(part, "text") for part in ("complaint", "cause", "correction")),
            fixed["write_up"],
            "Write complaint, cause and correction.",
        ),
        Action("note", (Argument("text", "text"),), fixed["note"], "Write a note on the job card."),
    )
    return {action.verb: action for action in table}


def checked(verb: str, arguments: Mapping[str, Any]) -> dict[str, Value]:
    """The arguments of an action, each of its type and within its limits, in the order of the table.

    Raises Refused naming the nearest verb, argument or value for one that does not exist.
    """
    if verb not in actions():
        raise Refused(f"No action is called {verb!r}; {nearest(str(verb), actions())}")
    action = actions()[verb]
    known = {argument.name: argument for argument in action.arguments}
    for name in arguments:
        if name not in known:
            remedy = nearest(str(name), known) if known else "leave it out."
            raise Refused(f"{verb} takes no {name!r}; {remedy}")
    found: dict[str, Value] = {}
    for argument in action.arguments:
        if arguments.get(argument.name) is not None:
            found[argument.name] = _value(verb, argument, arguments[argument.name])
        elif argument.required:
            raise Refused(f"{verb} needs {argument.name!r}: {_allowed(argument)}")
    return found


def _value(verb: str, argument: Argument, given: Any) -> Value:
    if argument.type == "flag" and isinstance(given, bool):
        return given
    if argument.type == "whole" and isinstance(given, int) and not isinstance(given, bool):
        return int(_within(verb, argument, given))
    if argument.type == "number" and isinstance(given, (int, float)) and not isinstance(given, bool):
        return float(_within(verb, argument, given))
    if argument.type == "causes" and isinstance(given, str):
        return _causes(argument, given)
    if argument.type in ("name", "text") and isinstance(given, str):
        return _named(argument, given) if argument.type == "name" else _text(verb, argument, given)
    raise Refused(f"{verb} cannot take {argument.name} = {_short(given)}: {_allowed(argument)}")


def _within(verb: str, argument: Argument, given: float) -> float:
    assert argument.low is not None
    assert argument.high is not None
    if not argument.low <= given <= argument.high:  # false for NaN as well
        raise Refused(f"{verb} cannot take {argument.name} = {_short(given)}: {_allowed(argument)}")
    return given


def _named(argument: Argument, given: str) -> str:
    if given not in argument.names:
        raise Refused(f"No {argument.name} is called {_short(given)}; {nearest(given[:80], argument.names)}")
    return given


def _causes(argument: Argument, given: str) -> str:
    """One cause, or two in the order of the alphabet, so that the order of naming makes no difference."""
    parts = sorted({_named(argument, part) for part in given.split(AND)})
    if len(parts) > MOST_CAUSES:
        raise Refused(
            f"{len(parts)} causes are named: name at most {MOST_CAUSES}, those your readings prove."
        )
    if len(parts) > 1 and "nothing_wrong" in parts:
        raise Refused("'Nothing wrong' cannot stand beside a cause: name one or the other.")
    return AND.join(parts)


def _text(verb: str, argument: Argument, given: str) -> str:
    if len(given) > LONGEST_TEXT:
        raise Refused(f"{argument.name} has {len(given)} characters: {_allowed(argument)}")
    # A lone surrogate cannot be written to a file; control characters have no place on a job card.
    if any((ord(sign) < 32 and sign not in "\n\t") or 0xD800 <= ord(sign) < 0xE000 for sign in given):
        raise Refused(f"{argument.name} holds a sign that cannot be printed: leave it out.")
    if verb != "note" and not given.strip():
        raise Refused(f"{argument.name} is empty: {_allowed(argument)}")
    return given


def _allowed(argument: Argument) -> str:
    if argument.type == "flag":
        return "give true or false."
    if argument.type == "text":
        return f"give a text of 1 to {LONGEST_TEXT} characters."
    if argument.type in ("name", "causes"):
        shown = ", ".join(argument.names[:12])
        return f"choose one of {shown}{' …' if len(argument.names) > 12 else '.'}"
    whole = "whole number" if argument.type == "whole" else "number"
    return f"give a {whole} from {argument.low:g} to {argument.high:g}."


def _short(given: Any) -> str:
    try:
        shown = repr(given)
    except ValueError:  # a whole number of thousands of digits
        shown = f"a {type(given).__name__}"
    return shown if len(shown) <= 60 else shown[:57] + "…"


def _name(name: str, table: Iterable[str]) -> tuple[Argument, ...]:
    return (Argument(name, "name", tuple(table)),)


def _optional(argument: Argument) -> Argument:
    return Argument(argument.name, argument.type, argument.names, required=False)
