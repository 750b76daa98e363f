from __future__ import annotations

from pathlib import Path

import pytest

from parked_hvac.whole_file import whole_file


def test_does_a_file_stay_as_it_was_until_all_is_written(tmp_path: Path) -> None:
    path = tmp_path / "marks.csv"
    path.write_text("before")
    with whole_file(path) as half:
        half.write_text("after")
        assert path.read_text() == "before"
    assert path.read_text() == "after"
    assert [one.name for one in tmp_path.iterdir()] == ["marks.csv"]


def test_is_nothing_left_of_what_failed_amid_writing(tmp_path: Path) -> None:
    path = tmp_path / "marks.csv"
    path.write_text("before")
    with pytest.raises(UnicodeEncodeError), whole_file(path) as half:
        half.write_text("half ½", "ascii")
    assert path.read_text() == "before"
    assert [one.name for one in tmp_path.iterdir()] == ["marks.csv"]


def test_do_two_who_write_the_same_file_not_touch_each_others_half(tmp_path: Path) -> None:
    """Processes of a class write the same predictions: the name holds the number of the process."""
    path = tmp_path / "told.npz"
    other = tmp_path / ".told.npz.1"
    other.write_text("of another process")
    with whole_file(path) as half:
        half.write_text("mine")
    assert other.read_text() == "of another process"
