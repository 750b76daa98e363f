"""Does every module of the physics say its laws, where they are from and how far they hold?"""

from __future__ import annotations

import ast
import re
from pathlib import Path

PHYSICS = "widgets/parked_hvac/physics"
NO_LAW = {"__init__.py", "each.py"}
ELSEWHERE = ("widgets/parked_hvac/rig/controller.py",)
TOLD = ("Laws?:", "Sources?:", "Limits:")


def not_told(docstring: str) -> list[str]:
    """What a docstring leaves open of laws, sources and limits of validity."""
    return [pattern for pattern in TOLD if not re.search(rf"^{pattern} *\S", docstring, re.MULTILINE)]


def test_does_every_module_of_the_physics_tell_laws_sources_and_limits(repository: Path) -> None:
    own = sorted(path for path in (repository / PHYSICS).glob("*.py") if path.name not in NO_LAW)
    assert len(own) >= 14
    silent = {}
    for path in [*own, *(repository / name for name in ELSEWHERE)]:
        docstring = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
        if left := not_told(docstring):
            silent[path.name] = left
    assert silent == {}


def test_is_a_module_without_limits_seen() -> None:
    assert not_told("Sun.\n\nLaws: a\nSources: b\nLimits: c\n") == []
    assert not_told("Sun.\n\nLaws: a\nSources: b\n") == [TOLD[2]]
    assert len(not_told("Limits: \n")) == 3
