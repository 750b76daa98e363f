"""Ohms of a temperature sensor beside the resistance table and the learner's own thermometer."""

from __future__ import annotations

from collections.abc import Iterable

from parked_hvac.assessment.retrace import Line
from parked_hvac.physics.thermistor import curve
from parked_hvac.rig.controller import SENSOR_CURVES

_BEADS = {
    frozenset(("B1.1", "B1.2")): ("B1", "evaporator", "X31"),
    frozenset(("B2.1", "B2.2")): ("B2", "bunk air", "X32"),
    frozenset(("B3.1", "B3.2")): ("B3", "outside air", "X33"),
}
"""Sensor, point of the thermometer, and plug that belong to its pins."""
_SOON_MIN = 5.0
"""How far apart two readings may lie to speak of the same temperature."""
_APART = 0.2
"""Share of the table's ohms. They change by 4 to 5 % a degree: room for three degrees between bead and probe,
and for both tolerances."""


def off_the_table(line: Line, readings: Iterable[Line]) -> str:
    """Why ohms at a sensor's pins do not fit the table, by a thermometer reading near in time; '' where they fit.

    '' as well where there is no such reading, or the pins are no parted sensor's: the table then says nothing.
    """
    if line.verb != "measure" or line.arguments["function"] != "ohms" or line.mode != "off":
        return ""
    pins = frozenset((str(line.arguments["red"]), str(line.arguments["black"])))
    if pins not in _BEADS or line.seen is None or not line.seen.is_number:
        return ""
    sensor, point, plug = _BEADS[pins]
    if plug not in line.context.get("parted", ()):
        return ""
    near = [
        one
        for one in readings
        if one.verb == "thermometer"
        and one.arguments["point"] == point
        and abs(one.minute - line.minute) <= _SOON_MIN
        and one.seen is not None
        and one.seen.is_number
    ]
    if not near:
        return ""
    beside = min(near, key=lambda one: abs(one.minute - line.minute))
    assert beside.seen is not None
    ohm = float(curve(SENSOR_CURVES[sensor]).resistance_ohm(beside.seen.value))
    if abs(line.seen.value - ohm) <= _APART * ohm:
        return ""
    return f"the resistance table asks for {ohm / 1e3:.2f} kΩ at the {beside.display} of your thermometer"
