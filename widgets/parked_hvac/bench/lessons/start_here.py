"""Lesson 00: the bench, the meter and the judge."""

from __future__ import annotations

from typing import Any

from msgspec.structs import fields

from parked_hvac.assessment.rubric import Parts, rubric
from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.reader import fresh
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.instruments.specification import meter_specification

_VOLTS_RANGE = 2  # of the list in data/instruments/meter.toml: 60 V


def what_the_meter_promises(reading_V: float = 12.60) -> Told:
    """How far a display may be from the truth, from the meter's own figures."""
    meter = meter_specification()
    scale = meter.dc_volts.full_scale.value[_VOLTS_RANGE]
    step = scale / meter.meter.counts.value
    percent, counts = meter.dc_volts.percent.value[_VOLTS_RANGE], meter.dc_volts.counts.value[_VOLTS_RANGE]
    off = reading_V * percent / 100 + counts * step
    return told(
        f"A display of {reading_V:.2f} V on the {scale:.0f} V range",
        [
            (f"{percent:g} % of the reading", f"{reading_V * percent / 100:.3f} V"),
            (f"{counts:g} counts of {step:.2f} V", f"{counts * step:.2f} V"),
            ("the truth lies between", f"{reading_V - off:.2f} V and {reading_V + off:.2f} V"),
            (
                "resistance of the two leads, touched together",
                f"{meter.meter.lead_resistance_ohm.value:.2f} Ω",
            ),
        ],
        "Left out: a meter that has been dropped. Nothing on its display tells you so; a known source does.",
    )


def how_you_are_judged() -> Told:
    """The seven parts of the score, from data/rubric."""
    parts = [getattr(rubric().parts, field.name) for field in fields(Parts)]
    rows = [(str(part.title), f"{part.points:g}") for part in parts]
    return told(
        "100 points, each traced to lines of your job card",
        rows,
        "A grave breach of safety caps the whole attempt.",
    )


def check_yourself() -> Any:
    """Eight short items; other figures each time the cell is run."""
    chance = fresh()
    source = meter_specification().proving_source.voltage_V.value
    wrong_V = round(source * chance.uniform(0.93, 0.96), 2)
    bank_V = round(chance.uniform(12.3, 12.8), 2)
    leads = round(chance.uniform(0.1, 0.3), 1)
    part = round(chance.uniform(2.0, 9.0), 1)
    return items(
        verdict(
            f"The known source says {source:.2f} V. Your meter shows {wrong_V:.2f} V. Your verdict on the reading?",
            right="out_of_spec",
            explanation="The source is known, so it is the meter that is off. Swap it before you believe anything it says.",
        ),
        number(
            f"Leads touched together: {leads:.1f} Ω. With a part between them: {part:.1f} Ω. What is the part's own resistance?",
            right=part - leads, unit="Ω", tolerance=0.051,
            explanation="The leads are part of every ohms reading. Touch them together first, and take that off.",
        ),
        number(
            f"A display of {bank_V:.2f} V, accuracy ±(0.5 % + 2 counts of 0.01 V). By how much can it be off?",
            right=bank_V * 0.005 + 0.02, unit="V", tolerance=0.006,
            explanation=f"0.5 % of {bank_V:.2f} V is {bank_V * 0.005:.3f} V, and two counts are 0.02 V.",
        ),
        choice(
            "Before you measure ohms, the part must be",
            ("switched on", "free of current, best with its plug parted", "warm"), right=1,
            explanation="The meter pushes its own small current. A voltage from outside makes the display lie, and a second way "
            "round the part lets current past it.",
        ),
        choice(
            "The compressor's start pulls the voltage down for a few seconds. What catches the lowest value?",
            ("looking quickly", "hold min, armed before the start", "the ohms function"), right=1,
            explanation="The eye misses what lasts two seconds. Arm the hold, then start the unit.",
        ),
        verdict(
            f"Bank at rest, everything off: {bank_V:.2f} V. The complaint is 'no cold'. Verdict by the spec sheet?",
            right="in_spec" if bank_V >= 12.4 else "out_of_spec",
            explanation="The spec sheet wants 12.4 V or more at rest. In spec at rest is not yet in spec under load.",
        ),
        choice(
            "You guess the right cause without a reading that carries it. How many of the 25 points for the conclusion do you get?",
            ("25", "at most 5", "none"), right=1,
            explanation="Luck repairs one truck. The judge asks whether your own readings left only this cause standing.",
        ),
        choice(
            "When may you pull a fuse?",
            ("whenever it is in reach", "when no current flows through it", "only with the engine running"), right=1,
            explanation="A fuse pulled under load draws an arc that burns the holder and can burn you. Switch the load off first.",
        ),
    )  # fmt: skip
