"""The files of the repository as a clone would hold them: tracked, or new and not ignored."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def files(repository: Path) -> list[Path]:
    """Paths relative to the top of the repository."""
    if not (repository / ".git").exists():
        pytest.skip("This copy of the course is no clone; get it with git to check what is committed.")
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=repository,
        capture_output=True,
        text=True,
        check=True,
    )
    found = [Path(name) for name in listed.stdout.split("\0") if name and (repository / name).is_file()]
    assert len(found) > 50, "git lists hardly a file: is this the whole repository?"
    return found
