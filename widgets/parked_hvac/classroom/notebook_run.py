"""Runs one learner's notebook through nbgrader in a course folder of its own, away from the class's.

Run as ``python -I -m parked_hvac.classroom.notebook_run``: a request on standard input, a reply on standard
output. The learner's code runs in a kernel below this process and finds a blank gradebook, its own files and
nothing of the class. What it makes of its marks is compared with the clean figures, never used.
"""

from __future__ import annotations

import contextlib
import json
import sys
import warnings
from pathlib import Path
from typing import Any

from parked_hvac.classroom.course import autograde, course_api, last_sentence


def run_notebook(root: Path, learner: str, lesson: str, cell_s: float) -> dict[str, Any]:
    """Reply {ran, reason, figures: {cell: points or None}}; ``root`` is laid out as cohort.py does.

    The notebook as nbgrader ran it is then at autograded/LEARNER/LESSON below ``root``.
    """
    api = course_api(root, root / "gradebook.db", root / "solutions", root / "lessons")
    api.config.Execute.timeout = int(cell_s)
    result = autograde(api, lesson, learner)
    notebook = root / "autograded" / learner / lesson / f"{lesson}.ipynb"
    if not result["success"] or not notebook.is_file():
        return {"ran": False, "reason": last_sentence(result), "figures": {}}
    return {"ran": True, "reason": "", "figures": _figures(notebook)}


def _figures(path: Path) -> dict[str, float | None]:
    """The points that nbgrader would give each graded cell; None where it refuses."""
    from nbgrader.utils import determine_grade, is_grade, is_solution

    figures: dict[str, float | None] = {}
    for cell in _cells(path):
        if is_grade(cell) and not is_solution(cell):
            name = str(cell.metadata.nbgrader["grade_id"])
            try:
                figures[name] = float(determine_grade(cell)[0])
            except (ValueError, KeyError, TypeError):
                figures[name] = None
    return figures


def _cells(path: Path) -> Any:
    import nbformat

    return nbformat.reads(path.read_text("utf-8"), as_version=4).cells  # type: ignore[no-untyped-call]


def main() -> None:
    """Answer the request on standard input."""
    with contextlib.redirect_stdout(sys.stderr), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        request = json.load(sys.stdin)
        reply = run_notebook(Path(request["root"]), request["learner"], request["lesson"], request["cell_s"])
        text = json.dumps(reply)
    sys.stdout.write(text)


if __name__ == "__main__":
    main()
