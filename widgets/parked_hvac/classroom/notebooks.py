"""Prepares a course folder for one submission and has nbgrader run the notebook there."""

from __future__ import annotations

import json
import shutil
import sys
import tempfile
from pathlib import Path
from typing import Any

from parked_hvac.classroom.clean import Limits
from parked_hvac.classroom.folder import ClassFolder
from parked_hvac.classroom.guarded import Overrun, run_guarded


def run_apart(folder: ClassFolder, learner: str, lesson: str, limits: Limits) -> dict[str, Any]:
    """Reply {ran, reason, figures} of one notebook, which goes to the class's autograded/ as it ran."""
    with tempfile.TemporaryDirectory(prefix="notebook-", ignore_cleanup_errors=True) as scratch:
        root = Path(scratch)
        shutil.copy(folder.blank_gradebook, root / "gradebook.db")
        shutil.copytree(folder.sources / lesson, root / "solutions" / lesson)
        shutil.copytree(folder.submitted / learner / lesson, root / "submitted" / learner / lesson)
        command = [sys.executable, "-I", "-m", "parked_hvac.classroom.notebook_run"]
        asked = {"root": str(root), "learner": learner, "lesson": lesson, "cell_s": limits.cell_s}
        try:
            reply: dict[str, Any] = json.loads(
                run_guarded(command, json.dumps(asked).encode(), limits.timeout_s, limits.memory_bytes, root)
            )
        except (Overrun, OSError, ValueError) as error:
            return {"ran": False, "reason": str(error), "figures": {}}
        if reply["ran"]:
            _fetch(root / "autograded" / learner / lesson, folder.autograded / learner / lesson)
        return reply


def _fetch(made: Path, target: Path) -> None:
    """Keep what a person marks by: the notebook and the time. An attempt may have been rewritten in there."""
    if target.exists():
        for path in target.rglob("*"):
            # nbgrader writes read-only files, which Windows does not delete.
            path.chmod(0o700)
        shutil.rmtree(target)
    target.mkdir(parents=True)
    for path in (made / f"{target.name}.ipynb", made / "timestamp.txt"):
        if path.is_file() and not path.is_symlink():
            shutil.copyfile(path, target / path.name)
