"""Is the visible top level of the repository exactly the eight entries agreed on?"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

AGREED = {
    "README.md",
    "DEVELOPERS.md",
    "requirements.txt",
    "lessons",
    "solutions",
    "widgets",
    "tests",
    "data",
}


def visible_top_level(files: Iterable[Path]) -> set[str]:
    """Names at the top that a directory listing shows."""
    return {path.parts[0] for path in files if not path.parts[0].startswith(".")}


def test_the_visible_top_level_is_the_agreed_eight(files: list[Path]) -> None:
    assert visible_top_level(files) == AGREED


def test_a_ninth_entry_and_a_missing_one_are_seen(files: list[Path]) -> None:
    assert visible_top_level([*files, Path("notes.txt")]) - AGREED == {"notes.txt"}
    assert visible_top_level([*files, Path(".ci/run")]) == visible_top_level(files)
    without = [path for path in files if path.parts[0] != "data"]
    assert AGREED - visible_top_level(without) == {"data"}
