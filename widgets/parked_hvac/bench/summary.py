"""What stands where no live bench can: a static summary of an attempt, and a notice in one sentence.

nbgrader's marking page shows no other tags of an output than a few (nbconvert's filter ``clean_html``: div, ol, li, b
and some more) and prints the rest as text, tables' bodies among it; so nothing else is used here.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from parked_hvac.bench.words import VERDICTS
from parked_hvac.rig.faults import title_of

if TYPE_CHECKING:
    from parked_hvac.job.attempt import Attempt


@dataclass(frozen=True, repr=False)
class Notice:
    """One sentence in place of a bench."""

    sentence: str

    def __repr__(self) -> str:
        """For a notebook without HTML."""
        return self.sentence

    def _repr_html_(self) -> str:
        return f'<div role="note" style="{_NOTICE}">{escape(self.sentence)}</div>'


@dataclass(frozen=True, repr=False)
class Summary:
    """An attempt as a list of readings with verdicts, the cause named and the write-up."""

    attempt: Attempt

    def __repr__(self) -> str:
        """The same at each run: no address in it."""
        attempt = self.attempt
        named = title_of(attempt.concluded) if attempt.concluded else "none yet"
        return (
            f"Attempt at {attempt.order.id!r} by {attempt.learner}: {len(attempt.readings)} readings "
            f"in {attempt.minutes:.0f} min, cause named: {named}"
        )

    def _repr_html_(self) -> str:
        words = dict(VERDICTS)
        rows = "".join(
            f"<li>minute {reading.minute:.0f} · {escape(reading.label)} · {escape(reading.state)} · "
            f"<b>{escape(reading.display)}</b> · {words.get(reading.verdict or '', 'not judged')}</li>"
            for reading in self.attempt.readings
        )
        written = "".join(
            f"<div><b>{escape(part.capitalize())}:</b> {escape(text)}</div>"
            for part, text in (self.attempt.write_up or {}).items()
        )
        return f"<div>{escape(repr(self))}</div><ol>{rows}</ol>{written}"


def not_connected(order: str) -> str:
    """HTML that a live bench hides: what a reader sees who opens the saved notebook again."""
    return (
        f'<p class="ph-resume" role="note" style="{_NOTICE}">The bench for order <b>{escape(order)}</b> '
        "is not connected. Run this cell again to go on where you stopped; all your work is in the attempt "
        "file.</p>"
    )


_NOTICE = "border-left: 4px solid #a86a10; padding: 6px 12px; margin: 6px 0;"
