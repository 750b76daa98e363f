"""A slider that has a name to be read aloud; the toolkit's own has none."""

from __future__ import annotations

import anywidget
import traitlets

from parked_hvac.bench.frontend import script, style


class Slider(anywidget.AnyWidget):
    """Whole numbers from ``least`` to ``most``; ``value`` follows when the handle is let go or a key moves it."""

    _esm = script("slider")
    _css = style("slider")
    value = traitlets.Int().tag(sync=True)
    fixed = traitlets.Dict().tag(sync=True)

    def __init__(self, words: str, value: int, least: int, most: int, step: int = 1) -> None:
        """``words`` stand before it and name it."""
        super().__init__(value=value, fixed={"words": words, "least": least, "most": most, "step": step})

    def __repr__(self) -> str:
        """No address in it, so that a notebook's text output is the same at each run."""
        return f"Slider {self.fixed['words']!r}"
