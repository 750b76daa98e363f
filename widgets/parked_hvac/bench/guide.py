"""Prompts that accompany a first job: each waits for readings, asks a question, and explains after the answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from parked_hvac.bench.frontend import Panel, script, style

if TYPE_CHECKING:
    from parked_hvac.job.attempt import Attempt
    from parked_hvac.job.reading import Reading


@dataclass(frozen=True)
class Prompt:
    """A hint until enough readings are taken, then a question, then its explanation.

    ``readings``: how many it waits for; ``at``: count only readings with these terminals, either way round (empty: any);
    ``action``: count only readings of this verb ('measure', 'clamp', …; empty: any). Without ``choices`` the explanation
    comes at once. ``right``: index of the right choice, None where each is a matter of opinion.
    """

    hint: str
    question: str = ""
    choices: tuple[str, ...] = ()
    right: int | None = None
    explanation: str = ""
    readings: int = 1
    at: tuple[str, ...] = ()
    action: str = ""

    def met(self, attempt: Attempt) -> bool:
        """Whether enough readings are on the card."""
        return sum(self._counts(reading) for reading in attempt.readings) >= self.readings

    def _counts(self, reading: Reading) -> bool:
        if self.action and reading.action != self.action:
            return False
        if not self.at:
            return True
        return {reading.arguments.get("red"), reading.arguments.get("black")} == set(self.at)


class Guide(Panel):
    """The strip with the prompt of the moment."""

    _esm = script("guide")
    _css = style("guide")


@dataclass
class Progress:
    """Where a learner is in the prompts; starts anew when the cell is run again, and catches up by itself."""

    prompts: tuple[Prompt, ...]
    at: int = 0
    answer: int | None = None

    def choose(self, answer: int) -> None:
        """Answer the question of the moment; an answer out of range is ignored."""
        if 0 <= answer < len(self.prompts[self.at].choices):
            self.answer = answer

    def go_on(self) -> None:
        """To the next prompt, if there is one."""
        self.at = min(self.at + 1, len(self.prompts))
        self.answer = None


def view(attempt: Attempt, progress: Progress) -> dict[str, Any]:
    """What the strip shows now."""
    total = len(progress.prompts)
    if progress.at >= total:
        return {"done": True, "step": "", "text": "", "choices": [], "answer": None, "explanation": "", "next": None}
    prompt = progress.prompts[progress.at]
    met = prompt.met(attempt)
    answered = met and (progress.answer is not None or not prompt.choices)
    return {
        "done": False,
        "step": f"{progress.at + 1} of {total}",
        "text": prompt.question if met and prompt.question else prompt.hint,
        "choices": list(prompt.choices) if met else [],
        "answer": progress.answer if met else None,
        "verdict": _verdict(prompt, progress.answer) if answered else "",
        "explanation": prompt.explanation if answered else "",
        "next": None if not answered else ("Go on" if progress.at + 1 < total else "Close the guide"),
    }


def _verdict(prompt: Prompt, answer: int | None) -> str:
    if prompt.right is None or answer is None:
        return ""
    return "Yes." if answer == prompt.right else "Not quite."
