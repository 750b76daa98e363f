"""What every test may ask for: the repository, and programs from outside Python.

A missing program skips the tests that need it and says how to install it; on a build server
(environment variable CI set) it fails them, so that a green run never hides an absent check.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

INSTALL_LINES = {
    "ngspice": "apt-get install ngspice",
    "chromium": "apt-get install chromium",
    "npm": "apt-get install nodejs npm",
}


def require_program(name: str, variable: str | None = None) -> str:
    """Path of a program named by a variable or on the search path; skips where missing, fails under CI."""
    named = os.environ.get(variable) if variable else None
    found = shutil.which(named or name)
    if found:
        return found
    where = f"{variable}={named}" if named else f"'{name}' on the search path"
    sentence = f"Found no {where}; install it with '{INSTALL_LINES[name]}'."
    if os.environ.get("CI"):
        pytest.fail(sentence, pytrace=False)
    pytest.skip(sentence)


@pytest.fixture(scope="session")
def repository() -> Path:
    """Top of the repository."""
    return Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def ngspice() -> str:
    """Path of the ngspice program (environment variable NGSPICE names another)."""
    return require_program("ngspice", "NGSPICE")


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of a Chromium browser (environment variable CHROMIUM names another)."""
    return require_program("chromium", "CHROMIUM")
