"""Whatever learners hand in is sorted to whose it is, or named with the reason; nothing is overwritten."""

from __future__ import annotations

import json
import shutil
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from parked_hvac.classroom.collect import collect
from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.folder import ClassFolder
from tests.classroom.conftest import silent

LESSON = "lesson-04-power-on-its-way"
Home = Callable[[str], Path]


def packed(folder: Path, archive: Path, top: str = "") -> Path:
    with zipfile.ZipFile(archive, "w") as made:
        for path in sorted(folder.rglob("*")):
            if path.is_file():
                made.write(path, top + path.relative_to(folder).as_posix())
    return archive


def taken(klass: ClassFolder) -> set[str]:
    return {path.relative_to(klass.submitted).as_posix() for path in klass.submitted.glob("*/*")}


def test_is_a_learners_folder_collected_with_all_its_lessons(klass: ClassFolder, taken_home: Home) -> None:
    home = taken_home("A17")
    (home / LESSON / "night-call.jsonl").write_text("{}\n")
    assert collect(klass, [home], silent, datetime(2026, 12, 1, 16, 0, tzinfo=UTC)) == []
    assert taken(klass) == {f"A17/{lesson.name}" for lesson in home.iterdir()}
    assert (klass.submitted / "A17" / LESSON / "timestamp.txt").read_text() == "2026-12-01 16:00:00 UTC\n"
    assert (klass.submitted / "A17" / LESSON / "night-call.jsonl").read_text() == "{}\n"


@pytest.mark.parametrize("name", ["A17.zip", "A17-again.zip", "what the mail made of it (1).zip"])
def test_is_an_archive_known_by_the_hand_out_within_whatever_its_name(
    klass: ClassFolder, taken_home: Home, tmp_path: Path, name: str
) -> None:
    assert collect(klass, [packed(taken_home("A17"), tmp_path / name)], silent) == []
    assert f"A17/{LESSON}" in taken(klass)


def test_is_a_folder_full_of_archives_and_folders_sorted(
    klass: ClassFolder, taken_home: Home, tmp_path: Path
) -> None:
    inbox = tmp_path / "inbox"
    inbox.mkdir()
    packed(taken_home("A17"), inbox / "A17.zip")
    packed(taken_home("B02") / LESSON, inbox / "second.zip", top=f"somewhere/deep/{LESSON}/")
    shutil.copytree(taken_home("C03") / LESSON, inbox / "C03" / LESSON)
    assert collect(klass, [inbox], silent) == []
    assert {f"{learner}/{LESSON}" for learner in ("A17", "B02", "C03")} <= taken(klass)


def test_is_a_lesson_without_hand_out_known_by_the_folder_it_lies_in(
    klass: ClassFolder, taken_home: Home
) -> None:
    home = taken_home("B02")
    for path in home.rglob("hand-out.json"):
        path.unlink()
    assert collect(klass, [home], silent) == []
    assert f"B02/{LESSON}" in taken(klass)


def test_is_work_that_nobody_signs_left_out_with_the_remedy(
    klass: ClassFolder, taken_home: Home, tmp_path: Path
) -> None:
    shutil.copytree(taken_home("B02") / LESSON, tmp_path / "inbox" / LESSON)
    (tmp_path / "inbox" / LESSON / "hand-out.json").write_text("{ torn")
    problems = collect(klass, [tmp_path / "inbox"], silent)
    assert len(problems) == 1
    assert "put it into a folder named after the learner" in problems[0]
    assert not klass.submitted.exists() or taken(klass) == set()


def test_is_a_folder_whose_name_contradicts_its_hand_out_left_out(
    klass: ClassFolder, taken_home: Home, tmp_path: Path
) -> None:
    home = taken_home("A17").rename(tmp_path / "B02")
    problems = collect(klass, [home], silent)
    assert len(problems) == len(list(home.iterdir()))
    assert all("says 'B02', hand-out.json 'A17'; ask both" in problem for problem in problems)
    assert taken(klass) == set()


def test_is_someone_who_is_not_on_the_roster_left_out(klass: ClassFolder, taken_home: Home) -> None:
    home = taken_home("A17")
    for path in home.rglob("hand-out.json"):
        told = json.loads(path.read_text("utf-8"))
        path.write_text(json.dumps({**told, "learner": "Z99"}), "utf-8")
    assert all("'Z99', who is not on the roster" in problem for problem in collect(klass, [home], silent))
    assert taken(klass) == set()


def test_is_an_earlier_submission_kept_when_another_comes(klass: ClassFolder, taken_home: Home) -> None:
    home = taken_home("A17")
    for text in ("first", "second", "third"):
        (home / LESSON / "night-call.jsonl").write_text(text)
        collect(klass, [home], silent)
    kept = sorted(klass.earlier.rglob("night-call.jsonl"))
    assert [path.read_text() for path in kept] == ["first", "second"]
    assert (klass.submitted / "A17" / LESSON / "night-call.jsonl").read_text() == "third"


def test_does_collecting_the_same_again_keep_the_time_it_first_came_in(
    klass: ClassFolder, taken_home: Home
) -> None:
    home = taken_home("A17")
    collect(klass, [home], silent, datetime(2026, 12, 1, 16, 0, tzinfo=UTC))
    said: list[str] = []
    collect(klass, [home], said.append, datetime(2026, 12, 3, 16, 0, tzinfo=UTC))
    assert all("same as collected before" in sentence for sentence in said)
    assert "2026-12-01" in (klass.submitted / "A17" / LESSON / "timestamp.txt").read_text()


def test_does_a_time_that_the_learner_wrote_not_count(klass: ClassFolder, taken_home: Home) -> None:
    home = taken_home("A17")
    (home / LESSON / "timestamp.txt").write_text("2026-01-01 00:00:00 UTC")
    collect(klass, [home], silent, datetime(2026, 12, 3, 16, 0, tzinfo=UTC))
    assert "2026-12-03" in (klass.submitted / "A17" / LESSON / "timestamp.txt").read_text()


def test_are_links_and_foreign_files_left_out(klass: ClassFolder, taken_home: Home) -> None:
    home = taken_home("A17")
    (home / LESSON / "attempt.jsonl").symlink_to(klass.key)
    (home / LESSON / "numpy.py").write_text("raise SystemExit")
    said: list[str] = []
    collect(klass, [home], said.append)
    names = {path.name for path in (klass.submitted / "A17" / LESSON).iterdir()}
    assert names == {f"{LESSON}.ipynb", "hand-out.json", "timestamp.txt"}
    assert sum("left out" in sentence for sentence in said) == 2


@pytest.mark.parametrize("content", [b"", b"PK damaged"])
def test_is_a_damaged_archive_named_and_the_others_taken(
    klass: ClassFolder, taken_home: Home, tmp_path: Path, content: bytes
) -> None:
    inbox = tmp_path / "inbox"
    inbox.mkdir()
    (inbox / "B02.zip").write_bytes(content)
    packed(taken_home("A17"), inbox / "A17.zip")
    problems = collect(klass, [inbox], silent)
    assert len(problems) == 1
    assert "B02.zip cannot be unpacked" in problems[0]
    assert f"A17/{LESSON}" in taken(klass)


def test_is_a_source_with_no_lesson_named(klass: ClassFolder, tmp_path: Path) -> None:
    (tmp_path / "holiday").mkdir()
    assert "holiday holds no folder named after a lesson" in collect(klass, [tmp_path / "holiday"], silent)[0]
    assert "does not exist" in collect(klass, [tmp_path / "nowhere"], silent)[0]


def test_is_a_folder_that_is_no_class_refused(tmp_path: Path) -> None:
    with pytest.raises(ClassError, match="no class folder"):
        collect(ClassFolder(tmp_path), [tmp_path], silent)


def test_is_a_learners_empty_folder_named(klass: ClassFolder, taken_home: Home, tmp_path: Path) -> None:
    inbox = tmp_path / "inbox"
    shutil.copytree(taken_home("A17"), inbox / "A17")
    (inbox / "B02").mkdir()
    (problem,) = collect(klass, [inbox], silent)
    assert problem.startswith("B02 holds no folder named after a lesson")
    assert {path.split("/")[0] for path in taken(klass)} == {"A17"}
