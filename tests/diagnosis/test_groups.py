"""Is the list of causes that no check can tell apart the present one?"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from parked_hvac.diagnosis.groups import PAGE, groups
from parked_hvac.rig.faults import faults


@pytest.mark.slow
def test_does_the_page_list_the_groups_that_are_found_now(repository: Path) -> None:
    told = (repository / "solutions" / PAGE).read_text(encoding="utf-8")
    rows = [tuple(re.findall(r"\(`(\w+)`\)", line)) for line in told.splitlines() if line.startswith("| ")]
    listed = [set(row) for row in rows if row]
    remedy = "run 'python -m parked_hvac.diagnosis.groups' and read what has changed"
    assert listed == [set(group) for group in groups()], remedy
    assert f"from {len(faults())} faults" in told, remedy
