"""A bar that shows how far a long simulation has come."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any, TypeVar

T = TypeVar("T")


def shown(values: Sequence[T], words: str, place: Callable[[Any], None] | None = None) -> Iterator[T]:
    """The values one after another, with a bar that fills as they are taken.

    ``place`` puts the bar somewhere; without it the bar stands under the cell.
    """
    import ipywidgets
    from IPython.display import display

    bar = ipywidgets.IntProgress(
        value=0, min=0, max=len(values), description=words, style={"description_width": "initial"}
    )
    (place or display)(bar)
    for value in values:
        yield value
        bar.value += 1
    if place is None:
        bar.close()
