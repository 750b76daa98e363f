"""A bench that opens when it is asked for, so that a notebook with many orders is ready at once."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from parked_hvac.bench.items import GRADING
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice
from parked_hvac.bench.widget import Bench
from parked_hvac.job.order import order_named


def practice(orders: Sequence[str]) -> Any:
    """A list of work orders and a button that opens the bench of the chosen one below it.

    While nbgrader runs the notebook it is one sentence, and nothing begins.
    """
    if GRADING in os.environ:
        return Notice(f"{len(orders)} orders for practice, none of them graded.")
    import ipywidgets

    titles = [(f"{order_named(name).title}{_begun(name)}", name) for name in orders]
    pick = ipywidgets.Dropdown(options=titles, description="Order:", style={"description_width": "initial"})
    go = ipywidgets.Button(description="Open the bench", layout={"width": "auto"})
    whole = ipywidgets.VBox([ipywidgets.HBox([pick, go])])

    def show(_button: Any) -> None:
        whole.children = (whole.children[0], opened(pick.value))

    go.on_click(show)
    return whole


def opened(order: str) -> Any:
    """The bench of an order as a widget; where there can be none, the sentence that says why."""
    import ipywidgets

    shown = bench(order)
    return shown if isinstance(shown, Bench) else ipywidgets.HTML(value=shown._repr_html_())


def _begun(order: str) -> str:
    return " (begun)" if Path(f"{order}.jsonl").exists() else ""
