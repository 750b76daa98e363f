"""What the pages of a class say about skills: per learner and for the class as a whole."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from parked_hvac.assessment.profile import Level, of_plain, profile
from parked_hvac.classroom.results import LessonMark
from parked_hvac.job.skills import skills
from parked_hvac.job.spoken import percent


@dataclass(frozen=True)
class SkillRow:
    """One skill of one learner, in the words of a page."""

    title: str
    share: str
    interval: str
    pieces: str
    words: str


@dataclass(frozen=True)
class ClassSkill:
    """One skill in the whole class: how many showed it, their mean share, and who has it to brush up (learner ids)."""

    title: str
    shown_by: int
    share: str
    brush_up: tuple[str, ...]


def levels_of(marks: Sequence[LessonMark]) -> tuple[Level, ...]:
    """The skills that one learner's scored exercises show. Exercises flagged for the instructor show nothing."""
    rows = [
        row
        for mark in marks
        for exercise in mark.exercises
        if exercise.state == "scored" and not exercise.flags and not mark.broken
        for row in (exercise.report or {}).get("evidence", ())
    ]
    return tuple(level for level in profile(of_plain(rows)).values() if level.trials)


def skill_rows(levels: Sequence[Level]) -> list[SkillRow]:
    """The rows of one learner's table."""
    return [
        SkillRow(
            title=skills()[level.skill].title,
            share=percent(level.share),
            interval=f"{percent(level.interval[0])} to {percent(level.interval[1])}",
            pieces=f"{level.trials:.3g}",
            words=level.words,
        )
        for level in levels
    ]


def class_skills(by_learner: Mapping[str, Sequence[Level]]) -> list[ClassSkill]:
    """The rows of the class's table, the skill that the class holds least first."""
    found: list[tuple[float, ClassSkill]] = []
    for name, skill in skills().items():
        shown = {
            learner: level
            for learner, levels in by_learner.items()
            for level in levels
            if level.skill == name
        }
        if shown:
            mean = fmean(level.share for level in shown.values())
            weak = tuple(learner for learner, level in shown.items() if level.words == "brush up")
            found.append((mean, ClassSkill(skill.title, len(shown), percent(mean), weak)))
    return [row for _, row in sorted(found, key=lambda pair: pair[0])]
