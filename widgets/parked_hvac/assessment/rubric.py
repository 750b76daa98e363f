"""How the points are made, as data/rubric tells it."""

from __future__ import annotations

from functools import cache

import msgspec

from parked_hvac.places import data_dir
from parked_hvac.tables import DataError, read_table

WHOLE = 100


class Part(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One of the seven parts of the score."""

    title: str
    points: float


class Parts(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The seven parts, in the order of the debrief."""

    safe: Part
    complaint: Part
    technique: Part
    understanding: Part
    conclusion: Part
    economy: Part
    repair: Part


class Safe(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Points of safe working."""

    grave_cap: float
    minor_points: float
    steps_that_show_it: int


class Complaint(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Points of confirming the complaint."""

    operated: float
    observed: float
    codes: float
    conditions: float
    late_share: float


class Technique(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Points of taking a reading right."""

    meter_proved: float
    readings: float
    untelling_share: float
    untelling_bits: float


class Understanding(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Points of understanding a reading."""

    verdicts: float
    what_is_left: float
    empty_in_spec_share: float
    confirming: int
    vain: int


class Conclusion(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Points of the conclusion."""

    certain: float
    likely: float
    guess: float
    fair_error: float
    fair_error_points: float
    half_right: float


class Economy(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Points of economy."""

    minutes: float
    vain: float
    full_at: float
    none_at: float


class Repair(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Points of the repair, its proof and the write-up."""

    right_repair: float
    rerun: float
    write_up: float


class Rubric(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Everything data/rubric/score.toml says."""

    parts: Parts
    safe: Safe
    complaint: Complaint
    technique: Technique
    understanding: Understanding
    conclusion: Conclusion
    economy: Economy
    repair: Repair


class Criterion(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One line of the rubric by which a person marks the write-up."""

    title: str
    share: str
    """Of the points, such as 1/4."""
    asks: str
    good: str
    fair: str
    poor: str


@cache
def rubric() -> Rubric:
    """The rubric, read once and checked: its parts make 100 and each part's items make the part. Raises DataError."""
    read = read_table(data_dir() / "rubric" / "score.toml", Rubric)
    whole = sum(part.points for part in msgspec.structs.astuple(read.parts))
    if whole != WHOLE:
        raise DataError(f"score.toml: the parts make {whole:g} points; give {WHOLE}.")
    made = {
        "complaint": read.complaint.operated
        + read.complaint.observed
        + read.complaint.codes
        + read.complaint.conditions,
        "technique": read.technique.meter_proved + read.technique.readings,
        "understanding": read.understanding.verdicts + read.understanding.what_is_left,
        "economy": read.economy.minutes + read.economy.vain,
        "repair": read.repair.right_repair + read.repair.rerun + read.repair.write_up,
    }
    for name, total in made.items():
        points = getattr(read.parts, name).points
        if total != points:
            raise DataError(f"score.toml: the items of {name} make {total:g} points; give {points:g}.")
    return read


@cache
def write_up_rubric() -> dict[str, Criterion]:
    """The printed rubric for the written part: complaint, cause, correction. Raises DataError."""
    return read_table(data_dir() / "rubric" / "write-up.toml", dict[str, Criterion])
