"""Does each learner get the lessons once, and is nothing of theirs ever written over?"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from lab import course
from lab.trouble import Trouble

START = "lesson-00-start-here"


@pytest.fixture
def lessons(tmp_path: Path) -> Path:
    """Two released lessons, as read-only as a release on a shared disk may be."""
    folder = tmp_path / "repository" / "lessons"
    for name in (START, "lesson-04-power-on-its-way"):
        (folder / name / "pictures").mkdir(parents=True)
        (folder / name / f"{name[10:]}.ipynb").write_text("{}")
        (folder / name / "pictures" / "bank.svg").write_text("<svg/>")
        (folder / name / "pictures" / "bank.svg").chmod(0o444)
        (folder / name / ".ipynb_checkpoints").mkdir()
        (folder / name / ".ipynb_checkpoints" / "old.ipynb").write_text("{}")
    (folder / "README.md").write_text("not a lesson")
    return folder


@pytest.fixture
def own(tmp_path: Path) -> Path:
    return tmp_path / "own course"


def hush(sentence: str) -> None:
    pass


def content(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): path.read_text() for path in folder.rglob("*") if path.is_file()
    }


def test_every_lesson_is_laid_out_once_and_may_be_written_in(lessons: Path, own: Path) -> None:
    course.lay_out(lessons, own, hush)
    assert sorted(path.name for path in own.iterdir()) == [course.STATE, START, "lesson-04-power-on-its-way"]
    assert sorted(content(own / START)) == ["pictures/bank.svg", "start-here.ipynb"]
    assert (own / START / "pictures" / "bank.svg").stat().st_mode & 0o200


def test_a_learners_files_stay_as_they_are(lessons: Path, own: Path) -> None:
    course.lay_out(lessons, own, hush)
    (own / START / "start-here.ipynb").write_text('{"mine": 1}')
    (own / START / "attempt.jsonl").write_text("line\n")
    before = content(own / START)
    told: list[str] = []
    course.lay_out(lessons, own, told.append)
    assert (content(own / START), told) == (before, [])


def test_a_lesson_released_anew_is_laid_beside_once_and_said(lessons: Path, own: Path) -> None:
    course.lay_out(lessons, own, hush)
    (own / START / "attempt.jsonl").write_text("line\n")
    before = content(own / START)
    (lessons / START / "start-here.ipynb").write_text('{"new": 1}')
    told: list[str] = []
    course.lay_out(lessons, own, told.append)
    course.lay_out(lessons, own, told.append)
    assert content(own / START) == before
    assert content(own / f"{START}.2")["start-here.ipynb"] == '{"new": 1}'
    assert told == [f"{START} was released anew: your own copy stays as it is, the new one is {START}.2."]
    assert course.start_page(own) == own / f"{START}.2" / "start-here.ipynb"

    (lessons / START / "start-here.ipynb").write_text('{"newer": 1}')
    course.lay_out(lessons, own, hush)
    assert (own / f"{START}.3").is_dir()
    assert not (own / "lesson-04-power-on-its-way.2").exists()


def test_a_lesson_that_came_with_the_class_is_kept(lessons: Path, own: Path) -> None:
    (own / START).mkdir(parents=True)
    (own / START / "start-here.ipynb").write_text('{"of": "my class"}')
    (own / START / "hand-out.json").write_text("{}")
    before = content(own / START)
    course.lay_out(lessons, own, hush)
    assert content(own / START) == before
    assert not (own / f"{START}.2").exists()


def test_a_copy_that_was_cut_short_does_not_pass_for_the_learners(
    lessons: Path, own: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def cut(*ignored: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(course.shutil, "copyfile", cut)
        with pytest.raises(KeyboardInterrupt):
            course.lay_out(lessons, own, hush)
    assert not (own / START).exists()
    course.lay_out(lessons, own, hush)
    assert sorted(content(own / START)) == ["pictures/bank.svg", "start-here.ipynb"]


@pytest.mark.parametrize("damage", ["", "{", "[1]", '{"lesson-00-start-here": 7}'])
def test_a_damaged_note_of_what_was_copied_loses_nothing(lessons: Path, own: Path, damage: str) -> None:
    course.lay_out(lessons, own, hush)
    (own / START / "attempt.jsonl").write_text("line\n")
    before = content(own / START)
    record = own / course.STATE / "lessons.json"
    record.write_text(damage)
    course.lay_out(lessons, own, hush)
    assert content(own / START) == before
    assert set(json.loads(record.read_text())) == {START, "lesson-04-power-on-its-way"}


def test_no_lessons_and_no_place_are_told(lessons: Path, own: Path, tmp_path: Path) -> None:
    with pytest.raises(Trouble, match=r"There are no lessons in .*: this copy of the course is incomplete"):
        course.lay_out(tmp_path / "empty", own, hush)
    own.write_text("a file")
    with pytest.raises(Trouble, match=r"Cannot write your course folder .*: name a folder of your own with"):
        course.lay_out(lessons, own, hush)


def test_the_folder_is_as_named_or_from_the_environment_or_in_the_home(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository = tmp_path / "repository"
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    monkeypatch.delenv(course.VARIABLE, raising=False)
    assert course.course_folder(None, repository) == tmp_path / "parked-hvac-course"
    monkeypatch.setenv(course.VARIABLE, str(tmp_path / "a"))
    assert course.course_folder(None, repository) == tmp_path / "a"
    assert course.course_folder("~/b", repository) == tmp_path / "b"


@pytest.mark.parametrize("inside", ["", "lessons", "lessons/lesson-00-start-here", "solutions"])
def test_the_released_course_is_no_place_to_work_in(tmp_path: Path, inside: str) -> None:
    with pytest.raises(Trouble, match="belongs to the course as released: name a folder of your own"):
        course.course_folder(str(tmp_path / inside), tmp_path)
