"""Does every file of code stay short enough to hold one idea, or say at its top why it is longer?"""

from __future__ import annotations

from pathlib import Path

LIMIT = 400
CODE = {".py", ".js", ".css", ".html", ".sh"}
TOP = 15  # lines among which the reason must stand
REASON = f"longer than {LIMIT} lines because"


def is_too_long(text: str) -> bool:
    """Whether a file is over the limit and gives no reason at its top."""
    lines = text.splitlines()
    return len(lines) > LIMIT and REASON not in " ".join(lines[:TOP]).lower()


def test_no_file_of_code_is_too_long(files: list[Path], repository: Path) -> None:
    code = [path for path in files if path.suffix in CODE]
    long = [path for path in code if is_too_long((repository / path).read_text(encoding="utf-8"))]
    assert long == [], f"split them, or say at the top: '{REASON} ...'"


def test_a_long_file_is_seen_and_a_reason_counts_only_at_the_top() -> None:
    reason = f'"""The table. {REASON.capitalize()} it is one table."""\n'
    assert not is_too_long("x\n" * LIMIT)
    assert is_too_long("x\n" * (LIMIT + 1))
    assert not is_too_long(reason + "x\n" * LIMIT)
    assert is_too_long("x\n" * LIMIT + reason)
