"""Does each notebook run from top to bottom, as its author wrote it and as the learner gets it?"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

from lab import server

REPOSITORY = Path(__file__).resolve().parents[2]
TREES = ("solutions", "lessons")
NOTEBOOKS = [
    path.relative_to(REPOSITORY).as_posix()
    for tree in TREES
    for path in sorted((REPOSITORY / tree).glob("*/*.ipynb"))
]


def run_notebook(notebook: Path, place: Path) -> subprocess.CompletedProcess[str]:
    """Run a copy of the notebook's folder in ``place`` with nbval, apart from the user's own Jupyter.

    nbval's lax mode: every cell must run without an error; what it prints is not compared.
    """
    copy = place / notebook.parent.name
    shutil.copytree(notebook.parent, copy, ignore=shutil.ignore_patterns(".ipynb_checkpoints", "attempts"))
    return subprocess.run(
        [sys.executable, "-m", "pytest", "--nbval-lax", "-q", "-p", "no:cacheprovider", notebook.name],
        cwd=copy,
        env=server.environment(place / "state", token=""),
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("tree", TREES)
def test_each_tree_holds_a_notebook(tree: str) -> None:
    assert [name for name in NOTEBOOKS if name.startswith(f"{tree}/")]


@pytest.mark.slow
@pytest.mark.parametrize("name", NOTEBOOKS)
def test_a_notebook_runs_from_top_to_bottom(name: str, tmp_path: Path) -> None:
    before = sorted((REPOSITORY / name).parent.rglob("*"))
    done = run_notebook(REPOSITORY / name, tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert sorted((REPOSITORY / name).parent.rglob("*")) == before  # attempts land in the copy


@pytest.mark.slow
def test_an_error_in_a_cell_is_seen(tmp_path: Path) -> None:
    folder = tmp_path / "lesson-99-planted"
    folder.mkdir()
    for name, last in (("good", "2"), ("bad", "1 / 0")):
        cells = [nbformat.v4.new_code_cell("1"), nbformat.v4.new_code_cell(last)]
        kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
        nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=kernel), folder / f"{name}.ipynb")
    good = run_notebook(folder / "good.ipynb", tmp_path / "a")
    assert good.returncode == 0, good.stdout + good.stderr
    assert "2 passed" in good.stdout
    bad = run_notebook(folder / "bad.ipynb", tmp_path / "b")
    assert bad.returncode == 1
    assert "ZeroDivisionError" in bad.stdout
