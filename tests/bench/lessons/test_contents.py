"""Does the list of lessons lead to each and tell the state of the learner's own work?"""

from __future__ import annotations

import json
from pathlib import Path

from parked_hvac.bench.lessons.contents import contents


def lay(course: Path, name: str, heading: str, *attempts: str) -> None:
    folder = course / name
    folder.mkdir()
    cells = [{"cell_type": "markdown", "source": [f"# {heading}\n", "words"]}]
    (folder / f"{name}.ipynb").write_text(json.dumps({"cells": cells}), encoding="utf-8")
    for number, text in enumerate(attempts):
        (folder / f"job-{number}.jsonl").write_text(text, encoding="utf-8")


def test_lists_lessons_in_order_with_the_state_of_their_jobs(tmp_path: Path) -> None:
    lay(tmp_path, "refresher", "Twenty minutes")
    lay(tmp_path, "lesson-02-two", "Second <b>lesson</b>", '{"action": "prepare"}', '{"action": "conclude"}')
    lay(tmp_path, "lesson-01-one", "First lesson", '{"action": "prepare"}')
    shown = contents(tmp_path)
    assert [one.title for one in shown.entries] == [
        "01 First lesson",
        "02 Second <b>lesson</b>",
        "Twenty minutes",
    ]
    assert [one.state for one in shown.entries] == ["begun", "cause named", ""]
    assert shown.entries[0].link == "../lesson-01-one/lesson-01-one.ipynb"
    assert "<b>lesson" not in shown._repr_html_()


def test_lists_a_lesson_whose_notebook_is_damaged(tmp_path: Path) -> None:
    lay(tmp_path, "lesson-01-one", "First lesson")
    (tmp_path / "lesson-01-one" / "lesson-01-one.ipynb").write_text("{", encoding="utf-8")
    assert [one.title for one in contents(tmp_path).entries] == ["01 lesson-01-one"]
