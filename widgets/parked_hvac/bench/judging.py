"""The judge at work beside the bench, so that nobody waits in front of a frozen screen."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Judged:
    """What came of it: the debrief as the panel shows it, or the sentence that says why there is none."""

    lines: int
    """Lines of the attempt that were judged; more lines ask for a new judgement."""
    view: dict[str, Any] | None = None
    refused: str | None = None


class Judging:
    """One judgement at a time in a thread of its own; ``done`` is called there when it has ended."""

    def __init__(self, judge: Callable[[Path], dict[str, Any]], done: Callable[[], None]) -> None:
        """``judge`` makes the debrief's view from an attempt file."""
        self._judge = judge
        self._done = done
        self._thread: threading.Thread | None = None
        self.result: Judged | None = None

    @property
    def at_work(self) -> bool:
        """Whether a judgement is being made."""
        return self._thread is not None

    def ask(self, file: Path, lines: int) -> None:
        """Have the attempt judged, unless that is under way or done for these lines."""
        if self.at_work or (self.result is not None and self.result.lines == lines):
            return
        self.result = None
        self._thread = threading.Thread(target=self._run, args=(file, lines), name="judge", daemon=True)
        self._thread.start()

    def wait(self) -> None:
        """Wait until the judgement under way has ended."""
        thread = self._thread
        if thread is not None:
            thread.join()

    def _run(self, file: Path, lines: int) -> None:
        try:
            self.result = Judged(lines, view=self._judge(file))
        except ValueError as error:
            self.result = Judged(lines, refused=str(error))
        except Exception as error:
            # An exception in a thread would be lost; it is told where the debrief would stand.
            self.result = Judged(
                lines, refused=f"The judge stumbled ({type(error).__name__}: {error}). {_REMEDY}"
            )
        finally:
            self._thread = None
            self._done()


_REMEDY = "Your work is safe in the attempt file; tell your instructor, or the authors of the course."
