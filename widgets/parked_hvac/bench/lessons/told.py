"""A small table or sentence in a lesson: text only, readable aloud and in both themes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape


@dataclass(frozen=True, repr=False)
class Told:
    """Rows of two columns under a caption, and a closing sentence."""

    caption: str
    rows: tuple[tuple[str, str], ...]
    closing: str = ""

    def __repr__(self) -> str:
        """The same as lines of text."""
        lines = [self.caption, *(f"{left}: {right}" for left, right in self.rows), self.closing]
        return "\n".join(line for line in lines if line)

    def _repr_html_(self) -> str:
        body = "".join(
            f'<tr><th scope="row" style="text-align:left;font-weight:normal">{escape(left)}</th>'
            f'<td style="text-align:right;font-variant-numeric:tabular-nums">{escape(right)}</td></tr>'
            for left, right in self.rows
        )
        closing = f"<p>{escape(self.closing)}</p>" if self.closing else ""
        caption = f'<caption style="text-align:left;font-weight:bold;white-space:nowrap">{escape(self.caption)}</caption>'
        return f"<table>{caption}{body}</table>{closing}"


def told(caption: str, rows: Sequence[tuple[str, str]], closing: str = "") -> Told:
    """A table of two columns; all of it text, never markup."""
    return Told(caption, tuple(rows), closing)
