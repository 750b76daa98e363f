"""Do the pages of a class tell skills from scored work alone, the least held first?"""

from __future__ import annotations

from typing import Any

from parked_hvac.classroom.results import ExerciseMark, LessonMark
from parked_hvac.classroom.skills_pages import class_skills, levels_of, skill_rows


def mark(learner: str, share: float, skill: str = "sensors", pieces: int = 4, **more: Any) -> LessonMark:
    rows = [{"skill": skill, "share": share, "weight": 1.0, "source": "a card"}] * pieces
    exercise = ExerciseMark(
        cell="a-points", maximum=20.0, points=20.0, **({"state": "scored"} | more), report={"evidence": rows}
    )
    return LessonMark(
        learner=learner, lesson="lesson-05", title="Sensors", received="x", exercises=[exercise]
    )


def test_does_a_learner_s_table_say_what_the_work_shows() -> None:
    (row,) = skill_rows(levels_of([mark("A1", 1.0), mark("A1", 1.0)]))
    # Beta(8.5, 0.5): mean 8.5 / 9.
    assert (row.title, row.share, row.pieces, row.words) == (
        "Temperature sensors",
        "94\N{NO-BREAK SPACE}%",
        "8",
        "held",
    )


def test_does_refused_or_flagged_work_show_nothing() -> None:
    assert (
        levels_of([mark("A1", 1.0, state="refused"), mark("A1", 1.0, flags=["the cell was edited."])]) == ()
    )
    assert levels_of([LessonMark(learner="A1", lesson="x", title="X")]) == ()


def test_does_the_class_s_table_put_the_least_held_skill_first_and_name_who() -> None:
    people = {
        "A1": levels_of([mark("A1", 1.0), mark("A1", 0.0, "voltage_drop")]),
        "A2": levels_of([mark("A2", 0.9), mark("A2", 0.2, "voltage_drop")]),
    }
    first, second = class_skills(people)
    assert (first.title, first.shown_by, first.brush_up) == ("Voltage drop", 2, ("A1", "A2"))
    assert (second.title, second.brush_up) == ("Temperature sensors", ())
    assert class_skills({"A1": ()}) == []
