"""The panels' scripts and styles, and the base class that carries messages to and from them."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import anywidget
import traitlets

Message = dict[str, Any]

_FOLDER = Path(__file__).parent / "frontend"


@cache
def script(name: str) -> str:
    """JavaScript of a panel: what all share, then its own; anywidget loads one text per widget."""
    return _read("shared.js") + _read(f"{name}.js")


@cache
def style(name: str) -> str:
    """CSS of a panel: the shared palette, how the panels lie, then its own."""
    return "".join(_read(f"{one}.css") for one in ("shared", "bench", name))


def _read(name: str) -> str:
    return (_FOLDER / name).read_text(encoding="utf-8")


class Panel(anywidget.AnyWidget):
    """One part of the screen: ``view`` is what it shows now, ``fixed`` what never changes."""

    view = traitlets.Dict().tag(sync=True)
    fixed = traitlets.Dict().tag(sync=True)

    def __init__(
        self, receive: Callable[[Message], None], fixed: dict[str, Any], view: dict[str, Any]
    ) -> None:
        """``receive`` is given each message of the screen and must not raise."""
        super().__init__(fixed=fixed, view=view)
        self._receive = receive
        self.on_msg(self._on_message)

    def _on_message(self, _widget: object, content: object, _buffers: object) -> None:
        message = content if isinstance(content, dict) else {}
        try:
            self._receive(message)
        finally:
            # The screen waits for this to know that the kernel is alive.
            self.send({"ack": message.get("n")})

    def __repr__(self) -> str:
        """No address in it, so that a notebook's text output is the same at each run."""
        return f"{type(self).__name__} of the bench"
