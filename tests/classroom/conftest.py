"""A class of made-up learners, made once by the real commands and copied for each test that changes it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.classroom.handout import hand_out
from parked_hvac.classroom.new import new_class
from parked_hvac.classroom.roster import parse_roster
from tests.classroom.learners import CAUSE, JOB, key_with

# Invented people; one name would break a table without quotes, one would act as markup or as a formula.
ROSTER = """id,name,email
A17,"Lee, Jr",lee@example.org
B02,Müller Özge,
C03,<script>alert(1)</script>,
D04,=1+1,
E05,Ada Ng,
F06,Bo Ek,
G07,Cy Rao,
H08,Di Wu,
I09,El Xu,
J10,Fa Yu,
K11,Gu Zo,
"""


def silent(_: str) -> None:
    """Nobody reads along."""


@pytest.fixture(scope="session")
def made_class(tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    """A class with everything handed out; tests leave it as it is."""
    folder = new_class(
        tmp_path_factory.mktemp("classes") / "evening",
        parse_roster(ROSTER),
        silent,
        due={"lesson-04-power-on-its-way": "2026-12-01T17:00:00+00:00"},
    )
    # A chosen key in place of the random one: each learner's cause is then the same in every run.
    folder.key.write_text(key_with("A17", JOB, CAUSE) + "\n", "ascii")
    hand_out(folder, silent)
    return folder


@pytest.fixture
def klass(made_class: ClassFolder, tmp_path: Path) -> ClassFolder:
    """A copy of the class that a test may change."""
    shutil.copytree(made_class.root, tmp_path / "evening", copy_function=shutil.copy2)
    return ClassFolder(tmp_path / "evening")


@pytest.fixture
def taken_home(made_class: ClassFolder, tmp_path: Path) -> Callable[[str], Path]:
    """The folder that a learner got, to work in and hand in."""

    def take(learner: str) -> Path:
        home = tmp_path / "homes" / learner
        shutil.copytree(made_class.hand_out / learner, home)
        return home

    return take
