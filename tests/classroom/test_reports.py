"""Tables and pages say what is so, whatever learners are called and whatever they wrote."""

from __future__ import annotations

import csv
import io
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from parked_hvac.classroom import gradebook
from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.classroom.marks import current_marks, marks_text, write_marks
from parked_hvac.classroom.pages import write_pages
from parked_hvac.classroom.plot import candidates_plot
from parked_hvac.classroom.results import ExerciseMark, LessonMark, read_result, write_result
from parked_hvac.classroom.write_ups import table_text, take_back

LESSON = "lesson-04-power-on-its-way"
HOSTILE = '<img src=x onerror="alert(1)">{{ 7 * 7 }}&amp;</blockquote>\n=HYPERLINK("http://x")'


def mark(learner: str = "A17", **changes: object) -> LessonMark:
    """A submission of which everything but the write-up is marked."""
    made = LessonMark(
        learner=learner,
        lesson=LESSON,
        title="Power on its way",
        received="2026-12-01T16:00:00+00:00",
        exercises=[
            ExerciseMark(cell="colleagues-card-points", maximum=20.0, state="scored", points=15.0),
            ExerciseMark(cell="night-call-points", maximum=60.0, state="scored", points=41.25),
            ExerciseMark(
                cell="night-call-write-up",
                maximum=20.0,
                by_hand=True,
                state="to mark",
                text={"complaint": HOSTILE, "cause": "F13", "correction": "new fuse"},
            ),
        ],
    )
    for name, value in changes.items():
        setattr(made, name, value)
    return made


def report(text: str) -> dict[str, Any]:
    """A judge's report whose every text is this one."""
    table = {"caption": text, "head": [text], "rows": [[text]]}
    section = {"heading": text, "paragraphs": [text], "points": [text], "table": table}
    return {
        "parts": [{"title": text, "points": 3.0, "maximum": 5.0}],
        "losses": [{"line": 3, "points": 2.0, "reason": text, "better": text}],
        "debrief": {
            "summary": text,
            "sections": [section],
            "yours": [[0.0, 98.0], [4.0, 8.0], [21.0, 1.0]],
            "best": [[0.0, 98.0], [10.0, 1.0]],
        },
    }


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))


def test_do_names_with_commas_and_formulas_stay_in_their_column(made_class: ClassFolder) -> None:
    roster = made_class.read_roster()
    table = rows(marks_text(roster, [mark("A17"), mark("D04")]))
    assert [row["name"] for row in table] == ["Lee, Jr", "'=1+1"]
    assert [row["total"] for row in table] == ["56.25", "56.25"]
    assert [row["maximum"] for row in table] == ["100", "100"]


def test_does_a_mark_that_failed_not_look_like_an_honest_zero(made_class: ClassFolder) -> None:
    zero, refused, broken, absent = mark(), mark(), mark(broken="the notebook is missing."), mark(received="")
    zero.exercises[0].points = zero.exercises[1].points = 0.0
    refused.exercises[1] = ExerciseMark(cell="night-call-points", maximum=60.0, reason="line 3 was edited.")
    table = rows(marks_text(made_class.read_roster(), [zero, refused, broken, absent]))
    assert [row["total"] for row in table] == ["0.00", "", "", ""]
    assert [row["status"] for row in table] == ["write-up to mark", "needs a look", "broken", "not handed in"]
    assert "line 3 was edited" in table[1]["reasons"]


class Elements(HTMLParser):
    """Collects which elements and addresses a page has."""

    def __init__(self) -> None:
        super().__init__()
        self.names: set[str] = set()
        self.addresses: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.names.add(tag)
        self.addresses += [value or "" for name, value in attrs if name in ("src", "href")]


def test_is_what_learners_wrote_never_markup_and_nothing_fetched(klass: ClassFolder) -> None:
    spoilt = mark("C03", flags=[HOSTILE])
    spoilt.exercises[1].reason = HOSTILE
    spoilt.exercises[1].report = report(HOSTILE)
    spoilt.exercises[2].remark = HOSTILE
    write_pages(klass, klass.read_roster(), [spoilt])
    for path in (klass.debriefs / "C03.html", klass.class_page):
        text = path.read_text("utf-8")
        page = Elements()
        page.feed(text)
        assert not page.names & {"script", "img", "iframe", "link", "object"}
        assert all(address.startswith("debriefs/") for address in page.addresses)
        assert "{{ 7 * 7 }}" in text
        assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text


def test_do_the_pages_name_an_exercise_as_a_person_would(klass: ClassFolder) -> None:
    refused = mark("C03", flags=["night-call-points: line 3 was edited."])
    write_pages(klass, klass.read_roster(), [refused])
    for path in (klass.debriefs / "C03.html", klass.class_page):
        text = path.read_text("utf-8")
        assert "Night call: line 3 was edited." in text
        assert "night-call-points" not in text


def test_does_a_learner_read_how_much_is_reached_of_what_is_marked(klass: ClassFolder) -> None:
    write_pages(klass, klass.read_roster(), [mark("A17")])
    text = " ".join((klass.debriefs / "A17.html").read_text("utf-8").split())
    assert "56.2 of 80 points so far" in text  # 56.25, a tenth is told
    assert "the write-up, 20 points" in text
    assert "A colleague&#39;s card" in text  # the order's title, not the cell's name
    assert "1 of them without their write-up" in klass.class_page.read_text("utf-8")


def test_does_what_has_no_score_stand_first_and_a_damaged_file_once(klass: ClassFolder) -> None:
    why = "night-call.jsonl, line 3 is damaged."
    refused = mark("D04")
    for exercise in refused.exercises[1:]:
        exercise.state, exercise.points, exercise.reason = "refused", None, why
    assert [reason.count(why) for reason in refused.reasons] == [1]
    late = mark("A17", late="late by 3 h.")
    write_pages(klass, klass.read_roster(), [late, refused])
    text = klass.class_page.read_text("utf-8")
    assert text.index(why) < text.index("Late by 3 h.")


def test_does_the_plot_show_both_ways_to_the_end_and_take_numbers_only() -> None:
    drawn = candidates_plot(report("x")["debrief"])
    # The best path's band is drawn first, below the learner's line.
    best, yours = (line.partition('"')[0].split() for line in drawn.split('points="')[1:])
    # A stair: up to each reading at the old height, then down; 52 to 626 units are 0 to 21 minutes.
    assert yours[0].startswith("52.0,")
    assert yours[-1].startswith("626.0,")
    assert len(yours) == 5
    assert len(best) == 3
    with pytest.raises(ValueError, match="could not convert"):
        candidates_plot({"yours": [["<script>", 1.0]], "best": []})


def test_does_every_learner_get_a_page_handed_in_or_not(klass: ClassFolder) -> None:
    write_pages(klass, klass.read_roster(), current_marks(klass))
    assert {path.stem for path in klass.debriefs.iterdir()} == {learner.id for learner in klass.read_roster()}
    assert "Not handed in yet" in (klass.debriefs / "A17.html").read_text("utf-8")


def test_does_a_result_survive_being_kept(klass: ClassFolder) -> None:
    write_result(klass, mark())
    assert read_result(klass, "A17", LESSON) == mark()
    (klass.results / "A17" / f"{LESSON}.json").write_text("{")
    with pytest.raises(ClassError, match="is damaged"):
        read_result(klass, "A17", LESSON)


@pytest.fixture
def marked(klass: ClassFolder) -> ClassFolder:
    """A class with one graded submission in results and gradebook."""
    write_result(klass, mark())
    with gradebook.opened(klass) as book:
        gradebook.fill(book, mark())
    return klass


def filled_in(marked: ClassFolder, path: Path, points: str, remark: str = "") -> Path:
    text = table_text(current_marks(marked))
    table = list(csv.reader(io.StringIO(text, newline="")))
    table[1][4], table[1][5] = points, remark
    out = io.StringIO(newline="")
    csv.writer(out).writerows(table)
    write_marks(path, out.getvalue())
    return path


def test_do_points_given_by_hand_go_round_through_table_and_gradebook(
    marked: ClassFolder, tmp_path: Path
) -> None:
    assert (
        take_back(marked, current_marks(marked), filled_in(marked, tmp_path / "w.csv", "17,5", "Say where."))
        == 1
    )
    now = next(found for found in current_marks(marked) if found.handed_in)
    assert now.total == 56.25 + 17.5
    assert now.status == "graded"
    assert now.exercises[2].remark == "Say where."
    assert rows(table_text([now]))[0]["points"] == "17.5"


@pytest.mark.parametrize("points", ["21", "-1", "nan", "inf", "many"])
def test_are_points_outside_the_maximum_refused_and_none_taken(
    marked: ClassFolder, tmp_path: Path, points: str
) -> None:
    with pytest.raises(ClassError, match=r"line 3: .* is no number of points from 0 to 20"):
        take_back(marked, current_marks(marked), filled_in(marked, tmp_path / "w.csv", points))
    assert next(found for found in current_marks(marked) if found.handed_in).status == "write-up to mark"


def test_is_a_table_of_another_class_refused(marked: ClassFolder, tmp_path: Path) -> None:
    path = filled_in(marked, tmp_path / "w.csv", "3")
    path.write_bytes(path.read_bytes().replace(b"A17", b"Q99"))
    with pytest.raises(ClassError, match="there is no write-up Q99"):
        take_back(marked, current_marks(marked), path)


def test_does_grading_again_keep_what_a_person_gave(marked: ClassFolder, tmp_path: Path) -> None:
    take_back(marked, current_marks(marked), filled_in(marked, tmp_path / "w.csv", "12"))
    with gradebook.opened(marked) as book:
        gradebook.fill(book, mark())
    assert next(found for found in current_marks(marked) if found.handed_in).total == 68.25


def test_does_a_person_have_the_last_word_over_a_refusal(marked: ClassFolder) -> None:
    refused = mark()
    refused.exercises[1] = ExerciseMark(cell="night-call-points", maximum=60.0, reason="line 3 was edited.")
    write_result(marked, refused)
    with gradebook.opened(marked) as book:
        gradebook.fill(book, refused)
        grade = book.find_grade("night-call-points", LESSON, LESSON, "A17")
        assert grade.auto_score is None
        assert grade.needs_manual_grade
        gradebook.give(book, refused, "night-call-write-up", 10.0, "")
        grade.manual_score = 30.0
        book.db.commit()
    now = next(found for found in current_marks(marked) if found.handed_in)
    assert now.total == 15.0 + 30.0 + 10.0
    assert now.status == "graded"
    assert now.exercises[1].given == "a person gave 30 points in place of none."
