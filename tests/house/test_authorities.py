"""Is every outside value traceable, in range of a test, and every test's file there?"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

FOLDER = Path("tests/reference/authorities")
TOLD = ("source", "how", "tolerance")


def not_told(authority: Mapping[str, Any]) -> list[str]:
    """What an outside value leaves open of where it is from, how it was got and how near one must come."""
    return [name for name in TOLD if authority.get(name) in (None, "", [], {})]


def unused(ids: set[str], sources: list[str]) -> set[str]:
    """Ids that no test names as a whole word (a longer id that begins alike does not count)."""
    text = "\n".join(sources)
    return {name for name in ids if not re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", text)}


def test_every_outside_value_says_where_it_is_from(repository: Path) -> None:
    files = sorted((repository / FOLDER).glob("*.json"))
    assert files
    for path in files:
        authority = json.loads(path.read_text(encoding="utf-8"))
        assert not_told(authority) == [], path.name
        assert authority["id"] == path.stem, f"{path.name} calls itself {authority['id']}"


def test_every_outside_value_is_used_by_a_test(repository: Path, files: list[Path]) -> None:
    tests = [path for path in files if path.suffix == ".py" and path.parts[0] == "tests"]
    sources = [(repository / path).read_text(encoding="utf-8") for path in tests if path.parts[1] != "house"]
    assert unused({path.stem for path in (repository / FOLDER).glob("*.json")}, sources) == set()


def test_an_untold_and_an_unused_value_are_seen() -> None:
    whole = {"source": "a table", "how": "looked up", "tolerance": "1 %"}
    assert not_told(whole) == []
    assert not_told(whole | {"tolerance": ""}) == ["tolerance"]
    assert not_told({}) == ["source", "how", "tolerance"]
    assert unused({"bat_cold", "bat_rest"}, ['authority("bat_rest")', "# bat_cold_two"]) == {"bat_cold"}
