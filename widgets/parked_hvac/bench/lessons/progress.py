"""A bar that shows how far a long simulation has come."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeVar

T = TypeVar("T")


def shown(values: Sequence[T], words: str) -> Iterator[T]:
    """The values one after another, with a bar under the cell that fills as they are taken."""
    import ipywidgets
    from IPython.display import display

    bar = ipywidgets.IntProgress(
        value=0, min=0, max=len(values), description=words, style={"description_width": "initial"}
    )
    display(bar)  # type: ignore[no-untyped-call]
    for value in values:
        yield value
        bar.value += 1
    bar.close()
