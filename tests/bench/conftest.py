"""An attempt, and the bench on it, in a folder of its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from parked_hvac.bench.widget import Bench
from parked_hvac.job.attempt import Attempt, start


@pytest.fixture
def attempt(tmp_path: Path) -> Attempt:
    return start("night-call", "A17", tmp_path / "night-call.jsonl")


@pytest.fixture
def desk(attempt: Attempt) -> Bench:
    return Bench(attempt)
