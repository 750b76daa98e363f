"""A folder of its own for each test, where a lesson lays its learner's files."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    return tmp_path
