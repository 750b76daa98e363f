"""Which verdicts a reading deserves, in that state of the truck."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from parked_hvac.assessment.retrace import Line
from parked_hvac.assessment.rubric import Rubric
from parked_hvac.assessment.safety import DRIVE
from parked_hvac.assessment.sound_words import FEW, sound_words
from parked_hvac.diagnosis.analysis import Learned
from parked_hvac.diagnosis.kernel import widths
from parked_hvac.diagnosis.prediction import Observed, Prediction
from parked_hvac.rig.catalogue import SpecEntry, catalogue

IN, OUT, NOTHING = "in_spec", "out_of_spec", "tells_nothing"
WORDS = {IN: "in spec", OUT: "out of spec", NOTHING: "tells nothing"}
_GAINED_BITS = 0.1
_SUPPLY_V = 9.0  # a steady voltage above this is a supply
_LIVE_V = 0.05
_UNLOADED_V = 0.5
"""A supply stands higher where a fault keeps its load away; the spec sheet's general line on feeds allows as much."""
_LINK = {"X40.H", "X40.L"}
_STATES = {"engine": ("engine", "engine_running"), "parked": ("parked", "parked_running")}


@dataclass(frozen=True)
class Deserved:
    """Share of the points (0 to 1) each verdict earns for one reading, and why."""

    share: Mapping[str, float]
    why: str

    @property
    def best(self) -> str:
        """The verdict that earns most."""
        return max(self.share, key=lambda verdict: self.share[verdict])


def deserved(
    line: Line, sound: Prediction, among: Observed, learned: Learned, rubric: Rubric, off_table: str = ""
) -> Deserved:
    """What each verdict on a reading is worth.

    sound: what sound trucks (1, N) show at that step; among: what the learner's truck shows running with them;
    off_table: why the learner's own thermometer and the resistance table speak against it, or ''.

    'In spec' and 'out of spec' follow what a sound truck would show in that very state, and the printed spec sheet
    where a line of it applies; where the two disagree, either is right. So is 'in spec' of a supply that stands a
    little higher because nothing draws on it: the supply is sound, and only its load is missing. 'Out of spec' is right, and
    comes first, of a sensor that the table finds off, wide as the sheet's line may be. 'Tells nothing' is
    right where the reading could not tell anything in that state, where it could not add to what was known, and of ohms
    on a live circuit.
    """
    assert line.seen is not None
    within = healthy(among, sound)
    entry = spec_entry(line)
    printed = sheet_says(line.seen.value, entry) if entry is not None and line.seen.is_number else set()
    within |= printed
    if _supply_unloaded(line, sound):
        within |= {IN}
    if off_table:
        within |= {OUT}
    share = {
        verdict: 1.0 if verdict in within else 0.0 for verdict in ((OUT, IN) if off_table else (IN, OUT))
    }
    if pushed_into_live(line):
        return Deserved({NOTHING: 1.0, **share}, "ohms on a circuit that is not dead show no resistance")
    limit = rubric.technique.untelling_bits
    adds_nothing = learned.gained_bits < _GAINED_BITS and learned.expected_bits < limit
    cannot_tell = adds_nothing and learned.telling_bits < limit
    share[NOTHING] = 1.0 if adds_nothing else 0.0
    if cannot_tell and IN not in printed:
        share[IN] *= rubric.understanding.empty_in_spec_share
    if cannot_tell and not proves_dead(line):
        # Of verdicts that earn alike the first is the one the debrief names, and its reason must fit.
        share = {NOTHING: share.pop(NOTHING), **share}
    return Deserved(share, off_table or _why(line, sound, entry, cannot_tell))


def healthy(seen: Observed, sound: Prediction) -> set[str]:
    """Verdicts that what sound trucks show allows; both at the edge of what they show."""
    if not seen.is_number:
        alike = float((sound.words[0] == seen.word).mean())
        return {IN} if alike >= FEW else {OUT}
    number = sound.is_number[0]
    if number.mean() < FEW:
        return {OUT}
    values = sound.values[0][number]
    weights = np.full(values.size, 1.0 / values.size)
    edge = float(max(widths(values, weights).max(), sound.sigma[0][number].max())) * 2.0
    low, high = float(values.min()), float(values.max())
    if low <= seen.value <= high:
        return {IN}
    if low - edge <= seen.value <= high + edge:
        return {IN, OUT}
    return {OUT}


def _supply_unloaded(line: Line, sound: Prediction) -> bool:
    """Whether a steady supply stands above what sound trucks show by no more than a missing load explains.

    With the engine running only while it is no more than the sheet lets a bank be charged with: more is a fault of its own.
    """
    if line.verb != "measure" or line.arguments["function"] != "dc_volts":
        return False
    charged = line.mode.startswith("engine")
    if not (charged or line.mode.startswith("parked")) or not sound.is_number[0].all():
        return False
    assert line.seen is not None
    charging = catalogue().spec_sheet["charging_aux"]
    if charged and sheet_says(abs(line.seen.value), charging) != {IN}:
        return False
    values = np.abs(sound.values[0])
    return bool(
        values.min() > _SUPPLY_V
        and np.sign(line.seen.value) == np.sign(sound.values[0, 0])
        and values.max() < abs(line.seen.value) <= values.max() + _UNLOADED_V
    )


def spec_entry(line: Line) -> SpecEntry | None:
    """The line of the spec sheet that applies to a reading in that state, a meter's leads either way round."""
    if line.verb in ("clamp", "thermometer", "test_battery", "load_test"):
        (place,) = line.arguments.values()
        found = (e for e in catalogue().spec_sheet.values() if (e.function, e.red) == (line.verb, place))
        return next((entry for entry in found if _in_state(line.mode, entry.state)), None)
    if line.verb != "measure":
        return None
    red, black = line.arguments["red"], line.arguments["black"]
    for entry in catalogue().spec_sheet.values():
        fits = (
            entry.function == line.arguments["function"] and entry.low is not None and entry.high is not None
        )
        if fits and {entry.red, entry.black} == {red, black} and _in_state(line.mode, entry.state):
            return entry if entry.red == red else _turned(entry)
    return None


def pushed_into_live(line: Line) -> bool:
    """Whether the meter's own current was sent into a circuit that is not dead: its display is no resistance.

    It is not dead with a voltage across the leads, nor on the data link while key or unit is on: what its controllers
    put on it then is too little to see on volts, and a third too much on ohms.
    """
    if line.verb != "measure" or line.arguments.get("function") not in ("ohms", "continuity", "diode"):
        return False
    live = abs(float(line.context.get("live_V", 0.0) or 0.0)) > _LIVE_V
    return live or ({line.arguments["red"], line.arguments["black"]} == _LINK and line.mode != "off")


def proves_dead(line: Line) -> bool:
    """Whether a reading proves the drive dead before a hand goes to it, which safe work asks for."""
    given = line.arguments
    return (
        line.verb == "measure"
        and given["function"] == "dc_volts"
        and {given["red"], given["black"]} == set(DRIVE)
        and line.mode == "off"
    )


def sheet_says(value: float, entry: SpecEntry) -> set[str]:
    """The verdict of a line of the spec sheet."""
    assert entry.low is not None
    assert entry.high is not None
    return {IN} if entry.low <= value <= entry.high else {OUT}


def _turned(entry: SpecEntry) -> SpecEntry:
    """The line for leads the other way round."""
    assert entry.low is not None
    assert entry.high is not None
    return SpecEntry(
        text=entry.text,
        section=entry.section,
        function=entry.function,
        red=entry.black,
        black=entry.red,
        state=entry.state,
        low=-entry.high,
        high=-entry.low,
        unit=entry.unit,
    )


def _in_state(mode: str, wanted: str | None) -> bool:
    return wanted is None or mode in _STATES.get(wanted, (wanted,))


def _why(line: Line, sound: Prediction, entry: SpecEntry | None, cannot_tell: bool) -> str:
    if cannot_tell:
        return "every cause would show the same here in this state, so it clears nothing"
    if entry is not None:
        return f"the spec sheet says: {entry.text}"
    return f"a sound truck shows {sound_words(sound, line.display)} here in this state"
