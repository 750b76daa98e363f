"""Is every attack that is tested on the list that the instructor reads?"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.attacks.test_edited_lines import FORGED
from tests.attacks.test_notebook_kernel import SNIPPETS
from tests.attacks.test_points import ATTACKS


@pytest.mark.parametrize("name", [*FORGED, *SNIPPETS, *ATTACKS])
def test_is_it_on_the_list(repository: Path, name: str) -> None:
    listed = (repository / "solutions/attacks.md").read_text("utf-8")
    assert name in listed


def test_is_every_file_of_attacks_on_the_list(repository: Path) -> None:
    listed = (repository / "solutions/attacks.md").read_text("utf-8")
    for path in (repository / "tests/attacks").glob("test_*.py"):
        assert path.name in listed or path.name == Path(__file__).name
