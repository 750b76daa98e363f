"""Does every module of the physics say laws, sources and limits, and does none rest on a library of its field?"""

from __future__ import annotations

import ast
import re
import sys
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


GENERAL = {"numpy", "msgspec", "parked_hvac"}
"""All that physics and rig may stand on; so no library that a test compares them with is inside them."""


def imported(text: str) -> set[str]:
    """Packages that a module imports, the standard library's apart."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            names |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add((node.module or "").partition(".")[0])
    return names - set(sys.stdlib_module_names)


def test_does_no_model_use_a_library_of_its_field(repository: Path) -> None:
    floors = [repository / PHYSICS, repository / "widgets/parked_hvac/circuit"]
    for path in (path for floor in floors for path in floor.rglob("*.py")):
        assert imported(path.read_text(encoding="utf-8")) <= GENERAL, path.name


def test_is_a_library_inside_a_model_seen() -> None:
    assert imported("import math\nfrom CoolProp.CoolProp import PropsSI\n") == {"CoolProp"}
