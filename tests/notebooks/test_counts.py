"""Does each lesson ask as much as it says, and enough of it?"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from parked_hvac.assessment.card import leave_card
from parked_hvac.job.log import read_log

TOP = Path(__file__).resolve().parents[2]
NOTEBOOKS = sorted(TOP.glob("solutions/*/*.ipynb"))
WORDS = dict(zip(("six", "seven", "eight", "nine", "ten", "eleven", "twelve"), range(6, 13), strict=True))
LEAST = 6
"""Graded readings of a lesson."""


@pytest.mark.parametrize("notebook", NOTEBOOKS, ids=lambda path: path.stem)
def test_has_the_card_as_many_readings_as_its_heading_says(
    notebook: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    text = "\n".join("".join(cell["source"]) for cell in cells)
    (card,) = re.findall(r'leave_card\("([a-z-]+)"', text)
    (said,) = re.findall(r"(\w+) readings to interpret", text)
    leave_card(card)
    lines = read_log(tmp_path / f"{card}.jsonl").lines
    readings = [line for line in lines if line.result is not None and line.result.reading is not None]
    assert len(readings) == WORDS[said.lower()] >= LEAST
