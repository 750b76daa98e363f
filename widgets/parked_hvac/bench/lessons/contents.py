"""The lessons of the course folder, with a way to each and how far the learner's own work is."""

from __future__ import annotations

import json
from dataclasses import dataclass
from html import escape
from pathlib import Path
from urllib.parse import quote

PATTERNS = ("lesson-*", "refresher*")
BEGUN, NAMED, FRESH = "begun", "cause named", ""


@dataclass(frozen=True)
class Entry:
    """A lesson: the title at the top of its notebook, the notebook's place from here, and the state of its jobs."""

    title: str
    link: str
    state: str


@dataclass(frozen=True, repr=False)
class Contents:
    """The lessons in order."""

    entries: tuple[Entry, ...]

    def __repr__(self) -> str:
        """The same as lines of text."""
        return "\n".join(f"{one.title}{': ' + one.state if one.state else ''}" for one in self.entries)

    def _repr_html_(self) -> str:
        rows = "".join(
            f'<tr><td style="text-align:left"><a href="{escape(one.link)}">{escape(one.title)}</a></td>'
            f'<td style="text-align:left">{escape(one.state)}</td></tr>'
            for one in self.entries
        )
        head = "<tr><th scope='col' style='text-align:left'>lesson</th><th scope='col' style='text-align:left'>your work</th></tr>"
        return f"<table>{head}{rows}</table>"


def contents(course: Path | None = None) -> Contents:
    """Every lesson beside this one. course: the folder above the lessons, default the one above this notebook."""
    above = Path("..") if course is None else course
    found = [folder for pattern in PATTERNS for folder in sorted(above.glob(pattern))]
    notebooks = [(folder, path) for folder in found for path in sorted(folder.glob("*.ipynb"))]
    return Contents(tuple(_entry(folder, path) for folder, path in notebooks))


def _entry(folder: Path, notebook: Path) -> Entry:
    link = quote(f"../{folder.name}/{notebook.name}")
    return Entry(_title(notebook), link, _state(folder))


def _title(notebook: Path) -> str:
    """Number and first heading; the file's name where the notebook cannot be read."""
    number = notebook.stem.split("-")[1] if notebook.stem.startswith("lesson-") else ""
    try:
        cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
        lines = [line for cell in cells for line in "".join(cell["source"]).splitlines()]
    except (OSError, ValueError, KeyError, TypeError):
        lines = []
    heading = next((line[2:].strip() for line in lines if line.startswith("# ")), notebook.stem)
    return f"{number} {heading}".strip()


def _state(folder: Path) -> str:
    """By the attempt files: nothing yet, begun, or a cause named in one at least."""
    attempts = [path for path in folder.glob("*.jsonl") if path.is_file() and path.stat().st_size > 0]
    if not attempts:
        return FRESH
    # A line of the log is read as text: a damaged one is no reason to hide the way to a lesson.
    named = any('"conclude"' in path.read_text(encoding="utf-8", errors="replace") for path in attempts)
    return NAMED if named else BEGUN
