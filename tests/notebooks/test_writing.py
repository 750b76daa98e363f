"""Can an apprentice read the lessons: easy words, short paragraphs, something to do on every screen?"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

HIGHEST_GRADE = 9.0
LINE = 118
"""Letters in a line of a notebook on a screen 1280 pixels wide."""
MOST_LINES = 6
SCREEN_WORDS = 320
"""Words of prose that fill a screen of 800 pixels with their headings, boxes and margins; then something must be seen or done."""

SOURCES = sorted(Path(__file__).resolve().parents[2].glob("solutions/*/*.ipynb"))


def prose(markdown: str) -> list[str]:
    """Paragraphs and list entries without their markup; tables, marks of nbgrader and schemes for markers left out."""
    text = re.sub(r"### BEGIN MARK SCHEME.*?### END MARK SCHEME", "", markdown, flags=re.DOTALL)
    kept = [line for line in text.splitlines() if not line.lstrip().startswith(("|", "#", "!["))]
    blocks = re.split(r"\n\s*\n|\n(?=\s*(?:[-*]|\d+\.) )", "\n".join(kept))
    plain = (re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", block) for block in blocks)
    return [one for block in plain if (one := " ".join(re.sub(r"[*_`>]|^\s*- ", " ", block).split()))]


def reading_grade(paragraphs: list[str]) -> float:
    """Automated Readability Index (R. J. Senter, E. A. Smith, AMRL-TR-66-220, 1967): a US school grade.

    It counts letters, so no dictionary of syllables is needed. Names of terminals and figures count as short words.
    """
    text = " ".join(one if one.endswith((".", "?", "!", ":")) else f"{one}." for one in paragraphs)
    text = re.sub(r"\S*\d\S*?(?=[.,;:?!)]*(?:\s|$))", "one", text)
    sentences = [one for one in re.split(r"[.?!]+(?:\s|$)", text) if re.search(r"\w", one)]
    words = re.findall(r"[\w'’]+", text)
    letters = sum(len(re.sub(r"\W", "", word)) for word in words)
    return 4.71 * letters / len(words) + 0.5 * len(words) / len(sentences) - 21.43


def cells(notebook: Path) -> list[tuple[str, str]]:
    return [
        (cell["cell_type"], "".join(cell["source"]))
        for cell in json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    ]


@pytest.mark.parametrize("notebook", SOURCES, ids=lambda path: path.parent.name)
def test_is_a_lesson_easy_to_read(notebook: Path) -> None:
    told = [one for kind, source in cells(notebook) if kind == "markdown" for one in prose(source)]
    assert reading_grade(told) <= HIGHEST_GRADE


@pytest.mark.parametrize("notebook", SOURCES, ids=lambda path: path.parent.name)
def test_is_no_paragraph_a_wall(notebook: Path) -> None:
    told = [one for kind, source in cells(notebook) if kind == "markdown" for one in prose(source)]
    assert [one for one in told if len(one) > MOST_LINES * LINE] == []


@pytest.mark.parametrize("notebook", SOURCES, ids=lambda path: path.parent.name)
def test_is_there_something_to_see_or_do_on_every_screen(notebook: Path) -> None:
    run = 0
    for kind, source in cells(notebook):
        shown = kind == "code" or "![" in source or "\n|" in source or source.startswith("|")
        run = 0 if shown else run + sum(len(one.split()) for one in prose(source))
        assert run <= SCREEN_WORDS, f"{run} words without a picture or an action, up to: {source[-80:]!r}"


def test_do_these_checks_see_hard_and_long_texts() -> None:
    hard = (
        "Notwithstanding the aforementioned considerations, practitioners characteristically underestimate electrochemical "
        "polarisation phenomena whenever instrumentation interconnections exhibit disproportionate resistances."
    )
    assert reading_grade([hard]) > HIGHEST_GRADE
    assert reading_grade(["The cat sat on the mat. It was warm."]) < 3.0
    assert prose("# Head\n\n| a | b |\n\n*One* [two](x) three.\n- four\n- five") == [
        "One two three.",
        "four",
        "five",
    ]
