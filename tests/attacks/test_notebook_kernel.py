"""Attacks from within the notebook: whatever a learner does to the kernel, the marks come from another process.

Each snippet is run as a notebook would run it, in the folder that is handed in. What it shows there may be anything;
the class marks the folder in a process of its own, and flags a notebook that shows another figure.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from parked_hvac.classroom.clean import Limits, Work, score_apart
from parked_hvac.classroom.exercises import Exercise
from tests.attacks.forger import KEY, LEARNER, MAXIMUM, ORDER, begun

CALL = (
    f"from parked_hvac.assessment.cell import job_points\nprint(job_points({ORDER!r}, maximum={MAXIMUM}))\n"
)
FAKE = '{"replies": [{"state": "scored", "points": 60.0, "reason": ""}]}'

SNIPPETS = {
    "the scorer replaced": "import parked_hvac.assessment.cell as cell\ncell.job_points = lambda *a, **k: 60.0\n",
    "the process replaced": (
        f"import subprocess, types\nsubprocess.run = lambda *a, **k: types.SimpleNamespace(stdout={FAKE!r})\n"
    ),
    "the reader of answers replaced": (
        f"import json\nold = json.loads\njson.loads = lambda text, **k: old({FAKE!r})\n"
    ),
    "the check of figures replaced": (
        "import parked_hvac.assessment.cell as cell\ncell.as_points = lambda value, maximum: maximum\n"
        "cell._asked_apart = lambda *a: {'points': 1e9, 'reason': ''}\n"
    ),
    "another Python in its place": (
        "import os, sys\n"
        "open('python', 'w').write('#!/bin/sh\\necho ' + repr(" + repr(FAKE) + "))\n"
        "os.chmod('python', 0o755)\nsys.executable = os.path.abspath('python')\n"
    ),
    "course data of one's own": (
        "import os, shutil\nfrom parked_hvac.places import data_dir\n"
        "shutil.copytree(data_dir(), 'data')\nos.environ['PARKED_HVAC_DATA'] = os.path.abspath('data')\n"
        "open('data/rubric/score.toml', 'a').write('')\n"
    ),
    "a start-up file": (
        "import os\nopen('sitecustomize.py', 'w').write('import builtins; builtins.points = 60')\n"
        "os.environ['PYTHONPATH'] = os.environ['PYTHONSTARTUP'] = os.getcwd()\n"
    ),
    "a number that compares as it likes": (
        "class Most(float):\n    __le__ = __ge__ = __lt__ = __gt__ = lambda a, b: True\n"
        "import parked_hvac.assessment.cell as cell\n"
        "cell._asked_apart = lambda *a: {'points': Most(1e9), 'reason': ''}\n"
    ),
    "a marks file": "open('results.json', 'w').write('{\"points\": 60.0}')\n",
}


@pytest.mark.parametrize("what", SNIPPETS)
def test_whatever_the_kernel_shows_the_class_gives_nothing(tmp_path: Path, what: str) -> None:
    folder = tmp_path / "handed in"
    begun(folder)
    own = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    subprocess.run(
        [sys.executable, "-c", SNIPPETS[what] + CALL], cwd=folder, env=own, capture_output=True, timeout=120
    )
    exercise = Exercise(
        cell="night-call-points",
        scorer="job_points",
        arguments=(("order", ORDER), ("maximum", MAXIMUM)),
        maximum=MAXIMUM,
    )
    (mark,) = score_apart(Work([exercise], folder, LEARNER, KEY), Limits())
    assert not mark.points
    assert "names no cause yet" in mark.reason


def test_a_figure_of_another_kind_is_no_figure_in_the_kernel_either(tmp_path: Path) -> None:
    begun(tmp_path)
    done = subprocess.run(
        [sys.executable, "-c", SNIPPETS["a number that compares as it likes"] + CALL],
        cwd=tmp_path,
        capture_output=True,
        timeout=120,
        text=True,
    )
    assert done.stdout.splitlines()[-1] == "0.0", done
