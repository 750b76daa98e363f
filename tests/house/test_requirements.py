"""Is the environment the same everywhere: all pinned, and all that the package asks for among it?"""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import version
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name


def requirements(text: str) -> list[Requirement]:
    """The requirements in a file of them; comments and empty lines are left out."""
    lines = (re.sub(r"(^|\s)#.*", "", line).strip() for line in text.splitlines())
    return [Requirement(line) for line in lines if line]


def unpinned(pinned: list[Requirement]) -> list[str]:
    """Names that are not held to one exact version."""
    return [
        entry.name
        for entry in pinned
        if entry.url or [part.operator for part in entry.specifier] != ["=="] or "*" in str(entry.specifier)
    ]


def missing(wanted: list[Requirement], pinned: list[Requirement]) -> set[str]:
    """Names wanted of which no entry stands in the pinned list, or only one of another version."""
    versions: dict[str, list[str]] = {}
    for entry in pinned:
        numbers = [part.version for part in entry.specifier]
        versions.setdefault(canonicalize_name(entry.name), []).extend(numbers)
    return {
        entry.name
        for entry in wanted
        if not any(number in entry.specifier for number in versions.get(canonicalize_name(entry.name), []))
    }


@pytest.fixture(scope="module")
def pinned(repository: Path) -> list[Requirement]:
    return requirements((repository / "requirements.txt").read_text(encoding="utf-8"))


def test_every_requirement_is_pinned(pinned: list[Requirement]) -> None:
    assert len(pinned) > 50
    assert unpinned(pinned) == []


def test_all_that_the_package_and_its_tools_ask_for_is_pinned(
    repository: Path, pinned: list[Requirement]
) -> None:
    project = tomllib.loads((repository / "widgets" / "pyproject.toml").read_text(encoding="utf-8"))
    asked = [Requirement(line) for line in project["project"]["dependencies"]]
    asked += [Requirement(line) for line in project["build-system"]["requires"]]
    asked += requirements((repository / "widgets" / "requirements.in").read_text(encoding="utf-8"))
    assert missing(asked, pinned) == set()


def test_this_environment_is_the_pinned_one(pinned: list[Requirement]) -> None:
    here = [entry for entry in pinned if entry.marker is None or entry.marker.evaluate()]
    other = {entry.name: version(entry.name) for entry in here if version(entry.name) not in entry.specifier}
    assert other == {}, "run widgets/run.py, which brings the environment up to date"


def test_nothing_installed_lacks_what_it_needs(pinned: list[Requirement]) -> None:
    from importlib.metadata import requires

    here = {canonicalize_name(entry.name) for entry in pinned}
    lacking = {}
    for name in sorted(here):
        entries = [entry for entry in pinned if canonicalize_name(entry.name) == name]
        if not any(entry.marker is None or entry.marker.evaluate() for entry in entries):
            continue
        needs = [Requirement(line) for line in requires(name) or []]
        active = [need for need in needs if need.marker is None or need.marker.evaluate({"extra": ""})]
        if absent := missing(active, pinned):
            lacking[name] = absent
    assert lacking == {}


@pytest.mark.parametrize("planted", ["numpy", "numpy>=2", "numpy==2.*", "numpy==2.1,<3", "numpy @ file:///x"])
def test_a_loose_requirement_is_seen(planted: str) -> None:
    assert unpinned(requirements(f"click==8.1 # fixed\n{planted}\n")) == ["numpy"]


def test_an_absent_and_a_too_old_requirement_are_seen() -> None:
    held = requirements("click==8.1\nruff==0.1\n")
    assert missing(requirements("click\nruff>=0.2\nNumPy"), held) == {"ruff", "NumPy"}
