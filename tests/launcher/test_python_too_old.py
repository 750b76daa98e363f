"""Does an old Python read run.py and say what it needs?"""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest
import run


def test_an_older_python_gets_a_sentence_and_status_2(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 9, 18, "final", 0))
    assert run.main(["lab"]) == 2
    told = capsys.readouterr().err
    assert told.startswith("The course needs Python 3.11 or newer and this is Python 3.9")
    assert told.count("\n") == 1


def test_run_py_parses_as_python_3_8_and_imports_nothing_else_before_it_has_looked(repository: Path) -> None:
    tree = ast.parse((repository / "widgets" / "run.py").read_text(), feature_version=(3, 8))
    imported = {
        name.name
        for node in tree.body
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in node.names
    }
    assert imported == {"annotations", "sys"}


def test_the_check_above_sees_newer_syntax() -> None:
    with pytest.raises(SyntaxError):
        ast.parse("match 1:\n    case 1: pass", feature_version=(3, 8))


def test_the_launcher_needs_only_the_standard_library(repository: Path) -> None:
    files = [*(repository / "widgets" / "lab").glob("*.py"), repository / "widgets" / "run.py"]
    for path in files:
        for name in imported_roots(path.read_text(encoding="utf-8")):
            assert name in sys.stdlib_module_names | {"lab"}, f"{path.name} imports {name}"
    assert imported_roots("import numpy.linalg\nfrom click import x") == {"numpy", "click"}


def imported_roots(source: str) -> set[str]:
    """First part of the name of every module that the source imports, anywhere in it."""
    found = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {name.name.partition(".")[0] for name in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module.partition(".")[0])
    return found
