"""How the work was done: safely, and with the complaint confirmed before a part is touched."""

from __future__ import annotations

from parked_hvac.assessment.case import Case
from parked_hvac.assessment.retrace import SENSES, Line, asked_to_cool
from parked_hvac.assessment.rules import rules
from parked_hvac.assessment.scored import Loss

_TOUCHING = frozenset({"open_cover", "part_connector", "pull_fuse", "repair"})
_HANDS_ON = SENSES | {
    "open_cover",
    "part_connector",
    "pull_fuse",
    "measure",
    "clamp",
    "test_battery",
    "load_test",
    "switch_key",
    "switch_parked_cooling",
    "discharge_capacitors",
}
"""Steps at the truck in which safe working shows while a cause is looked for."""
_RUN_S = 30.0
SENSED = frozenset({"feel", "look", "listen", "thermometer"})
_CONDITIONS = {
    ("thermometer", "bunk air"),
    ("thermometer", "outside air"),
    ("read_live", "bunk_C"),
    ("read_live", "outside_C"),
}


def safe(case: Case) -> list[Loss]:
    """Safe working: each rule broken costs once, a grave one all of it; too little work shows only a part."""
    whole, figures = case.rubric.parts.safe.points, case.rubric.safe
    lost, told = [], set()
    for line in case.trace.lines:
        for name in line.breaches:
            rule = rules()[name]
            if name in told:
                continue
            told.add(name)
            points = whole if rule.severity == "grave" else figures.minor_points
            lost.append(Loss(points, line.line, rule.breach, rule.better))
    hands_on = sum(line.verb in _HANDS_ON for line in case.trace.diagnosis)
    missing = max(0.0, 1.0 - hands_on / figures.steps_that_show_it)
    if missing > 0:
        lost.append(
            Loss(
                whole * missing,
                None,
                f"Only {hands_on} steps of work at the truck before a cause was named: safe working shows only in work.",
                "Take the readings that the job needs; the points come with them.",
                kind="too little work",
            )
        )
    return lost


def complaint(case: Case) -> list[Loss]:
    """Complaint and conditions: operated, observed, codes and conditions, before a part is touched."""
    points, lines = case.rubric.complaint, case.trace.diagnosis
    first = next((line.n for line in lines if line.verb in _TOUCHING), len(case.trace.lines) + 1)
    ran = [line for line, seconds in asked_to_cool(lines) if seconds >= _RUN_S]
    parts = (
        (
            points.operated,
            [line for line in ran if line.verb not in ("judge", "note")][:1],
            "The unit was never asked to cool and given half a minute.",
            "The unit was asked to cool",
            "Switch it on as the driver does, in the mode of the complaint, and let it run.",
        ),
        (
            points.observed,
            [line for line in ran if line.verb in SENSED],
            "Nobody felt, heard or looked at what the unit does.",
            "Hand, ear or eye came to the running unit",
            "Hold a hand to the vent and listen, before any part is touched.",
        ),
        (
            points.codes,
            [line for line in lines if line.verb == "read_codes"],
            "Stored codes were not read.",
            "The codes were read",
            "Read the codes first: two minutes, and they say where not to look.",
        ),
        (
            points.conditions,
            [line for line in lines if is_condition(line) or line.verb == "set_temperature"],
            "Settings and temperatures were not looked at.",
            "Settings and temperatures were looked at",
            "Set full cold and take the temperature of the bunk: a limit of a hot day is no fault.",
        ),
    )
    lost = []
    for worth, found, missing, done, better in parts:
        if not found:
            lost.append(Loss(worth, None, missing, better))
        elif found[0].n > first:
            share = worth * (1.0 - points.late_share)
            lost.append(
                Loss(share, found[0].line, f"{done} only after something was opened or parted.", better)
            )
    return lost


def is_condition(line: Line) -> bool:
    """Whether a reading is a temperature of the bunk or of outside."""
    return (line.verb, str(next(iter(line.arguments.values()), ""))) in _CONDITIONS
