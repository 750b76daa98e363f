"""Does anything that runs or is shown fetch scripts, styles, fonts or data from another host?"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

# Names of XML vocabularies look like addresses; nothing is fetched from them.
VOCABULARIES = re.compile(r"https?://www\.w3\.org/(2000/svg|1999/xhtml|1999/xlink)")
OWN_MACHINE = re.compile(r"(https?|wss?)://(127\.0\.0\.1|localhost)\b")
# In what a browser loads every address is a fetch; in Python only a host of scripts, not a source of figures.
SHOWN = re.compile(r"""((https?|wss?):)?//[\w{$][\w.{}$-]*\.[a-z]{2,}[^\s"'`)>]*""")
RUN = re.compile(r"""https?://[^\s"']*(cdn|unpkg|jsdelivr|fonts|googleapis|gstatic)[^\s"']*""")
COMMENT = ("//", "*", "/*", "<!--")  # may name a source
BROWSER_FILES = {".js", ".mjs", ".css", ".html", ".j2", ".svg"}


def fetches(text: str, suffix: str) -> list[str]:
    """Addresses of other hosts that a file of this kind would fetch from."""
    text = OWN_MACHINE.sub("", VOCABULARIES.sub("", text))
    if suffix in BROWSER_FILES:
        # A line of comment may name a source.
        lines = [
            line for line in text.splitlines() if not line.lstrip().startswith(("//", "*", "/*", "<!--"))
        ]
        return [found.group(0) for line in lines for found in SHOWN.finditer(line)]
    return [found.group(0) for found in RUN.finditer(text)]


def test_nothing_is_fetched_from_outside(files: list[Path], repository: Path) -> None:
    for path in files:
        if path.suffix in BROWSER_FILES | {".py", ".ipynb"}:
            assert fetches((repository / path).read_text(encoding="utf-8"), path.suffix) == [], path


PLANTED = "https:" + "//cdn.course.example/plot.js"


@pytest.mark.parametrize(
    ("text", "suffix"),
    [
        (f'import plot from "{PLANTED}";', ".js"),
        ('import plot from "//' + 'plots.course.example/plot.js";', ".js"),
        (f"@import url({PLANTED});", ".css"),
        (f'<script src="{PLANTED}"></script>', ".html"),
        ('<img src="http:' + '//pictures.course.example/truck.png">', ".html"),
        (f'_esm = "{PLANTED}"', ".py"),
    ],
)
def test_a_planted_fetch_is_seen(text: str, suffix: str) -> None:
    assert len(fetches(text, suffix)) == 1


@pytest.mark.parametrize(
    ("text", "suffix"),
    [
        ('const names = "http://www.w3.org/2000/svg";', ".js"),
        ("const half = a / b; // not //an address", ".js"),
        ("// after https://" + "source.course.example/page", ".js"),
        ('server = "http://127.0.0.1:8888/doc"', ".py"),
        ("# source: https://" + "standards.course.example/copper", ".py"),
    ],
)
def test_what_is_no_fetch_passes(text: str, suffix: str) -> None:
    assert fetches(text, suffix) == []
