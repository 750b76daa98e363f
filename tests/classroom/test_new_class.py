"""A new class is whole or not there, and its key is nobody else's."""

from __future__ import annotations

import os
import zipfile
from pathlib import Path

import pytest

from parked_hvac.classroom import new as module
from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.classroom.handout import hand_out, orders_of
from parked_hvac.classroom.new import new_class
from parked_hvac.classroom.roster import parse_roster
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import SELF_STUDY_KEY, draw_ticket, read_hand_out, verify_ticket
from tests.classroom.conftest import silent

LESSON = "lesson-04-power-on-its-way"


def test_does_the_class_get_the_lessons_that_the_repository_has(
    made_class: ClassFolder, repository: Path
) -> None:
    # The class's release went through all of nbgrader's steps, gradebook included; lessons/ went without.
    for path in (repository / "lessons").glob("lesson-*/*.ipynb"):
        assert (made_class.released / path.parent.name / path.name).read_bytes() == path.read_bytes()


def test_is_the_key_readable_by_its_owner_only_and_nowhere_else(made_class: ClassFolder) -> None:
    key = made_class.read_key()
    if os.name == "posix":
        assert made_class.key.stat().st_mode & 0o777 == 0o600
        assert made_class.root.stat().st_mode & 0o777 == 0o700
    for path in made_class.root.rglob("*"):
        if path.is_file() and path != made_class.key:
            assert key.encode() not in path.read_bytes(), path
    for archive in made_class.hand_out.glob("*.zip"):
        with zipfile.ZipFile(archive) as packed:
            assert all(key.encode() not in packed.read(name) for name in packed.namelist())


@pytest.mark.skipif(os.name != "posix", reason="Windows keeps rights in another way")
def test_is_a_key_that_others_can_read_refused(klass: ClassFolder) -> None:
    klass.key.chmod(0o644)
    with pytest.raises(ClassError, match="chmod 600"):
        klass.read_key()


@pytest.mark.parametrize("text", ["", "00", "not hexadecimal", "a" * 63])
def test_is_a_damaged_key_refused(klass: ClassFolder, text: str) -> None:
    klass.key.write_text(text)
    with pytest.raises(ClassError, match="put back your copy"):
        klass.read_key()


def test_do_the_tickets_differ_by_learner_and_hold_only_with_the_class_key(
    made_class: ClassFolder,
) -> None:
    seeds = set()
    for learner in made_class.read_roster():
        found = read_hand_out(made_class.hand_out / learner.id / LESSON / "hand-out.json")
        assert found.learner == learner.id
        assert set(found.tickets) == {order.id for order in orders_of(LESSON)}
        order = order_named("night-call")
        ticket = verify_ticket(found.tickets["night-call"], order, learner.id, made_class.read_key())
        assert ticket != draw_ticket(order, learner.id, SELF_STUDY_KEY)
        seeds.add(ticket.seed)
    assert len(seeds) == len(made_class.read_roster())


def test_does_a_second_hand_out_leave_everything_as_it_is(klass: ClassFolder) -> None:
    def state() -> dict[Path, tuple[bytes, int]]:
        return {
            path: (path.read_bytes(), path.stat().st_mtime_ns)
            for path in klass.hand_out.rglob("*")
            if path.is_file()
        }

    before = state()
    said: list[str] = []
    hand_out(klass, said.append)
    assert state() == before
    assert all("left as it is" in sentence for sentence in said)


def test_is_a_lost_archive_packed_again_from_the_same_hand_out(klass: ClassFolder) -> None:
    ticket = (klass.hand_out / "A17" / LESSON / "hand-out.json").read_bytes()
    (klass.hand_out / "A17.zip").unlink()
    hand_out(klass, silent, "A17")
    with zipfile.ZipFile(klass.hand_out / "A17.zip") as packed:
        assert packed.read(f"A17/{LESSON}/hand-out.json") == ticket


def test_is_a_folder_in_use_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(ClassError, match="is in use"):
        new_class(tmp_path, parse_roster("id,name\nA,B\n"), silent)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_is_a_folder_within_the_course_refused(repository: Path) -> None:
    with pytest.raises(ClassError, match="apart from it"):
        new_class(repository / "lessons" / "evening", parse_roster("id,name\nA,B\n"), silent)
    assert not (repository / "lessons" / "evening").exists()


def test_is_nothing_left_of_a_class_that_could_not_be_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise ClassError("planted")

    monkeypatch.setattr(module, "generate", fail)
    with pytest.raises(ClassError, match="planted"):
        new_class(tmp_path / "evening", parse_roster("id,name\nA,B\n"), silent)
    assert not (tmp_path / "evening").exists()


def test_is_an_unknown_lesson_or_a_date_that_is_none_refused(tmp_path: Path) -> None:
    roster = parse_roster("id,name\nA,B\n")
    with pytest.raises(ClassError, match=r"No lesson is called 'lesson-xx'; choose from lesson-00"):
        new_class(tmp_path / "a", roster, silent, lessons=["lesson-xx"])
    with pytest.raises(ClassError, match="no date and time"):
        new_class(tmp_path / "a", roster, silent, due={LESSON: "tomorrow"})
    assert not (tmp_path / "a").exists()


def test_is_a_folder_that_is_no_class_told_so(tmp_path: Path) -> None:
    with pytest.raises(ClassError, match="is no class folder"):
        ClassFolder(tmp_path).read_settings()


def test_does_a_misspelt_setting_name_the_right_one(klass: ClassFolder) -> None:
    klass.settings.write_text(klass.settings.read_text("utf-8").replace("lessons =", "lesons ="), "utf-8")
    with pytest.raises(ClassError, match="did you mean 'lessons'"):
        klass.read_settings()
