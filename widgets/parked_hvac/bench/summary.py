"""What stands where no live bench can: a static summary of an attempt, and a notice in one sentence."""

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
        return f'<p role="note" style="{_NOTICE}">{escape(self.sentence)}</p>'


@dataclass(frozen=True, repr=False)
class Summary:
    """An attempt as a table of readings with verdicts, the cause named and the write-up."""

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
            f"<tr><td>{index}</td><td>{reading.minute:.0f}</td>"
            f"<td>{escape(reading.label)} · {escape(reading.state)}</td><td>{escape(reading.display)}</td>"
            f"<td>{words.get(reading.verdict or '', 'not judged')}</td></tr>"
            for index, reading in enumerate(self.attempt.readings, 1)
        )
        written = "".join(
            f"<p><b>{escape(part.capitalize())}:</b> {escape(text)}</p>"
            for part, text in (self.attempt.write_up or {}).items()
        )
        return (
            f"<p>{escape(repr(self))}</p><table><thead><tr><th>#</th><th>min</th>"
            "<th>what, and in which state</th><th>reading</th><th>verdict</th></tr></thead>"
            f"<tbody>{rows}</tbody></table>{written}"
        )


def not_connected(order: str) -> str:
    """HTML that a live bench hides: what a reader sees who opens the saved notebook again."""
    return (
        f'<p class="ph-resume" role="note" style="{_NOTICE}">The bench for order <b>{escape(order)}</b> '
        "is not connected. Run this cell again to go on where you stopped; all your work is in the attempt "
        "file.</p>"
    )


_NOTICE = "border-left: 4px solid #a86a10; padding: 6px 12px; margin: 6px 0;"
