"""Which rosters are taken, and what an instructor is told about the others."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.roster import Learner, parse_roster, read_roster, roster_text


def test_is_a_comma_in_a_quoted_name_part_of_the_name() -> None:
    assert parse_roster('id,name\nA17,"Lee, Jr"\n') == (Learner("A17", "Lee, Jr"),)


def test_is_an_unquoted_comma_refused_with_line_and_remedy() -> None:
    with pytest.raises(
        ClassError, match=r"line 3: 3 fields where the first line names 2; put a name .* in quotes"
    ):
        parse_roster("id,name\nA17,Ada\nB02,Lee, Jr\n")


@pytest.mark.parametrize("second", ["A17", "a17"])
def test_is_a_second_learner_of_the_same_id_refused_even_in_small_letters(second: str) -> None:
    with pytest.raises(ClassError, match=r"line 3: the id .* stands in line 2"):
        parse_roster(f"id,name\nA17,Ada\n{second},Bo\n")


@pytest.mark.parametrize(
    "odd", ["", "a b", "../x", "a/b", "a*", "[a]", "-a", "é1", "con", "NUL", "x" * 41, "a.b", "a\\b"]
)
def test_is_an_id_that_cannot_name_a_folder_everywhere_refused(odd: str) -> None:
    with pytest.raises(ClassError, match="the id"):
        parse_roster(f"id,name\n{odd},Ada\n")


def test_is_a_control_character_in_a_name_refused() -> None:
    with pytest.raises(ClassError, match="control character"):
        parse_roster("id,name\nA17,Ada\x1b[31m\n")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_are_the_unicode_encodings_that_spreadsheets_write_told_apart(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "roster.csv"
    path.write_bytes("id;name;email\r\nA17;Müller Özge;o@example.org\r\n".encode(encoding))
    assert read_roster(path) == (Learner("A17", "Müller Özge", "o@example.org"),)


def test_is_another_encoding_refused_with_the_remedy_and_taken_when_named(tmp_path: Path) -> None:
    path = tmp_path / "roster.csv"
    path.write_bytes("id,name\nA17,Müller\n".encode("cp1252"))
    with pytest.raises(ClassError, match="--encoding cp1252"):
        read_roster(path)
    assert read_roster(path, "cp1252")[0].name == "Müller"


def test_are_two_ways_to_write_one_letter_one_name() -> None:
    # U+0055 U+0308 and U+00DC, canonically equivalent: Unicode Standard Annex 15.
    assert parse_roster("id,name\nA,U\u0308\n")[0].name == "\u00dc"


@pytest.mark.parametrize(
    "text", ["", "id,name\n", "name\nAda\n", "id,name,mark\nA,B,C\n", 'id,name\nA,"open\n', "id,name\nA,\n"]
)
def test_is_a_table_that_is_no_roster_refused(text: str) -> None:
    with pytest.raises(ClassError):
        parse_roster(text)


_names = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=30)


@given(st.lists(_names, min_size=1, max_size=5))
def test_does_a_roster_survive_being_written_and_read(names: list[str]) -> None:
    learners = parse_roster(roster_text(tuple(Learner(f"L{n}", name) for n, name in enumerate(names))))
    assert parse_roster(roster_text(learners)) == learners
