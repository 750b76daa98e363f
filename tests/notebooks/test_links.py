"""Does every way that a lesson offers lead somewhere, on this machine?"""

from __future__ import annotations

import json
import re
from pathlib import Path
from urllib.parse import unquote

import pytest

TOP = Path(__file__).resolve().parents[2]
NOTEBOOKS = sorted([*TOP.glob("lessons/*/*.ipynb"), *TOP.glob("solutions/*/*.ipynb")])


def links(markdown: str) -> list[str]:
    """Targets of the links and pictures in a text."""
    return re.findall(r"\]\(([^)\s]+)\)", markdown)


@pytest.mark.parametrize("notebook", NOTEBOOKS, ids=lambda path: "/".join(path.parts[-3:-1]))
def test_does_every_link_lead_to_a_file_of_the_course(notebook: Path) -> None:
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    told = [
        link for cell in cells if cell["cell_type"] == "markdown" for link in links("".join(cell["source"]))
    ]
    assert [link for link in told if not (notebook.parent / unquote(link)).is_file()] == []
    assert told, "a lesson leads on to another, or back to the start"


@pytest.mark.parametrize("page", sorted(TOP.glob("solutions/*.md")), ids=lambda path: path.name)
def test_does_every_link_of_the_guide_lead_to_a_file(page: Path) -> None:
    told = [link for link in links(page.read_text(encoding="utf-8")) if not link.startswith("#")]
    assert [link for link in told if not (page.parent / link).is_file()] == []


def test_are_links_found() -> None:
    assert links("see [this](../a/b.ipynb) and ![that](c.png)") == ["../a/b.ipynb", "c.png"]
