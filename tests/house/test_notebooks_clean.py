"""Are notebooks committed as written, without outputs, execution counts or saved widgets?"""

from __future__ import annotations

import json
from pathlib import Path

import pytest


def traces_of_a_run(notebook: str) -> list[str]:
    """What a run left in the text of a notebook."""
    content = json.loads(notebook)
    traces = ["saved widgets"] if "widgets" in content.get("metadata", {}) else []
    for number, cell in enumerate(content["cells"]):
        if cell["cell_type"] != "code":
            continue
        traces += [f"cell {number}: outputs"] if cell["outputs"] else []
        traces += [f"cell {number}: execution count"] if cell["execution_count"] is not None else []
    return traces


def test_notebooks_are_committed_as_written(files: list[Path], repository: Path) -> None:
    notebooks = [path for path in files if path.suffix == ".ipynb"]
    assert notebooks
    for path in notebooks:
        assert traces_of_a_run((repository / path).read_text(encoding="utf-8")) == [], path


CODE = {"cell_type": "code", "source": "1", "metadata": {}, "outputs": [], "execution_count": None}


@pytest.mark.parametrize(
    ("planted", "seen"),
    [
        ({"cells": [CODE], "metadata": {}}, []),
        ({"cells": [CODE | {"outputs": [{"output_type": "stream"}]}]}, ["cell 0: outputs"]),
        ({"cells": [CODE, CODE | {"execution_count": 3}]}, ["cell 1: execution count"]),
        ({"cells": [CODE], "metadata": {"widgets": {}}}, ["saved widgets"]),
    ],
)
def test_each_trace_of_a_run_is_seen(planted: dict[str, object], seen: list[str]) -> None:
    assert traces_of_a_run(json.dumps(planted)) == seen
