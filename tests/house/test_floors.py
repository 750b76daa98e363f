"""Does each floor import only from floors below it, and would the checker see it if not?"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

LINT_IMPORTS = "from importlinter.cli import lint_imports_command as run; run()"


def lint_imports(widgets: Path) -> subprocess.CompletedProcess[str]:
    """Run the checker on the package as it lies in a folder, by the settings beside it."""
    variables = dict(os.environ, PYTHONPATH=str(widgets), COLUMNS="200")
    return subprocess.run(
        [sys.executable, "-c", LINT_IMPORTS, "pyproject.toml", "--no-cache"],
        cwd=widgets,
        env=variables,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture
def copy(repository: Path, tmp_path: Path) -> Path:
    """The package in a folder of its own, to plant a defect in."""
    widgets = tmp_path / "widgets"
    kept = shutil.ignore_patterns("__pycache__")
    shutil.copytree(repository / "widgets" / "parked_hvac", widgets / "parked_hvac", ignore=kept)
    shutil.copy(repository / "widgets" / "pyproject.toml", widgets)
    return widgets


def test_every_floor_rests_on_those_below(copy: Path) -> None:
    done = lint_imports(copy)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    ("floor", "above"), [("circuit", "rig"), ("physics", "rig"), ("job", "diagnosis"), ("rig", "bench")]
)
def test_an_import_from_above_is_seen(copy: Path, floor: str, above: str) -> None:
    (copy / "parked_hvac" / floor / "planted.py").write_text(f"import parked_hvac.{above}\n")
    done = lint_imports(copy)
    assert done.returncode == 1
    told = re.sub(r"\s+", " ", done.stdout)
    assert f"parked_hvac.{floor} is not allowed to import parked_hvac.{above}" in told


def test_every_floor_of_the_house_is_in_the_contract(repository: Path) -> None:
    settings = (repository / "widgets" / "pyproject.toml").read_text(encoding="utf-8")
    package = repository / "widgets" / "parked_hvac"
    for path in package.iterdir():
        if path.is_dir() and any(path.glob("*.py")):
            assert f'"parked_hvac.{path.name}"' in settings, f"{path.name} is on no floor"
