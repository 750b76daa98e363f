"""Is an item judged at once and as often as wished, and is a graded answer kept for good?"""

from __future__ import annotations

from pathlib import Path

import pytest

from parked_hvac.bench.answers import AnswersError, append_answer, read_answers
from parked_hvac.bench.items import Item, Items, choice, items, number, verdict
from parked_hvac.bench.summary import Notice


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    return tmp_path


def shown(*listed: Item) -> Items:
    made = items(*listed)
    assert isinstance(made, Items)
    return made


def given(widget: Items, answer: str, index: int = 0) -> dict[str, object]:
    widget._receive({"do": "answer", "item": index, "given": answer})
    told: dict[str, object] = widget.view["items"][index]
    return told


DROP = number("How many volts are lost?", right=0.30, unit="V", tolerance=0.05, explanation="0.3 V.")


@pytest.mark.parametrize("answer", ["0.30", "0,30", "0.25", "0.35", " .3 V", "0.3V"])
def test_a_number_within_the_tolerance_is_right_however_it_is_typed(answer: str) -> None:
    told = given(shown(DROP), answer)
    assert told["right"] is True
    assert told["explanation"] == "0.3 V."


@pytest.mark.parametrize("answer", ["0.24", "0.36", "-0.3", "\N{MINUS SIGN}0.3", "30"])
def test_a_number_beyond_the_tolerance_is_not(answer: str) -> None:
    assert given(shown(DROP), answer)["right"] is False


@pytest.mark.parametrize("answer", ["", "much", "nan", "inf", "1e999", "__import__('os')"])
def test_what_is_no_number_is_refused_in_a_sentence(answer: str) -> None:
    told = given(shown(DROP), answer)
    assert "is no number: write it like 0.35." in str(told["refused"])
    assert "right" not in told


def test_one_may_try_again() -> None:
    widget = shown(DROP)
    assert given(widget, "1")["right"] is False
    assert given(widget, "0.3")["right"] is True


def test_a_figure_can_come_from_a_callable_and_is_asked_at_each_try() -> None:
    figures = iter((1.0, 2.0))
    widget = shown(number("?", right=lambda: next(figures), unit="V", tolerance=0.0))
    assert given(widget, "1")["right"] is True
    assert given(widget, "1")["right"] is False


def test_choices_and_verdicts_are_judged_by_their_words() -> None:
    widget = shown(choice("Which?", ("F1", "F2"), right=1), verdict("12.1 V at rest?", right="out_of_spec"))
    assert given(widget, "F1")["right"] is False
    assert given(widget, "F2")["right"] is True
    assert given(widget, "out of spec", index=1)["right"] is True
    assert "There is no answer 'F9'" in str(given(widget, "F9")["refused"])


def test_a_graded_answer_is_kept_and_comes_back(folder: Path) -> None:
    graded = number("?", right=None, unit="V", tolerance=0.0, name="drop-1")
    widget = shown(graded)
    told = given(widget, "0.4")
    assert told["kept"] == "Kept: 0.4"
    assert "right" not in told
    given(widget, "0.5")
    assert len((folder / "answers.jsonl").read_text().splitlines()) == 2
    assert shown(graded).view["items"][0]["given"] == "0.5"


def test_an_ungraded_answer_leaves_no_file(folder: Path) -> None:
    given(shown(DROP), "0.3")
    assert list(folder.iterdir()) == []


def test_while_it_is_graded_nothing_is_asked(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    assert isinstance(items(DROP), Notice)
    assert list(folder.iterdir()) == []


def test_odd_messages_change_nothing() -> None:
    widget = shown(DROP)
    for message in ({}, {"item": 7, "given": "1"}, {"item": "0", "given": "1"}, {"item": 0, "given": 1}):
        widget._receive(message)
    assert "right" not in widget.view["items"][0]


def test_mistakes_of_an_author_are_errors() -> None:
    with pytest.raises(ValueError, match="There is no choice 2: give 0 to 1"):
        choice("?", ("a", "b"), right=2)
    with pytest.raises(ValueError, match="There is no verdict 'fine'"):
        verdict("?", right="fine")
    with pytest.raises(ValueError, match="accepts nothing"):
        number("?", right=1.0, unit="V", tolerance=-1.0)


def test_a_line_cut_off_in_mid_write_loses_only_itself(folder: Path) -> None:
    file = folder / "answers.jsonl"
    append_answer(file, "a", "1")
    with file.open("ab") as cut:
        cut.write(b'{"item":"b","ans')
    assert {name: answer.answer for name, answer in read_answers(file).items()} == {"a": "1"}


def test_an_answer_after_a_cut_line_starts_a_line_of_its_own(folder: Path) -> None:
    file = folder / "answers.jsonl"
    append_answer(file, "a", "1")
    with file.open("ab") as cut:
        cut.write(b'{"item":"b","ans')
    append_answer(file, "c", "3")
    with pytest.raises(AnswersError, match=r"answers\.jsonl, line 2 is no answer"):
        read_answers(file)
    assert isinstance(items(number("?", None, "V", 0.0, name="c")), Notice)
