"""Prompts that accompany a first job: each waits for readings, asks, and explains after the answer."""

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

    ``readings``: how many it waits for; ``at``: count only readings with these terminals, either way round
    (empty: any); ``action``: count only readings of this verb ('measure', 'clamp', …; empty: any). Without
    ``choices`` the explanation comes at once. ``right``: index of the right choice, None for an opinion.
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
        return {
            "done": True,
            "step": "",
            "text": "",
            "choices": [],
            "answer": None,
            "explanation": "",
            "next": None,
        }
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


FIRST_STEPS = (
    Prompt(
        hint="Prove the meter before you trust it: press 'prove', then judge the reading on the job card.",
        action="prove_meter",
        question="The tool box holds a source whose voltage is written on it. What does this reading tell?",
        choices=("whether the meter can be believed", "whether the truck's batteries are good"),
        right=0,
        explanation="Nothing about the truck. But a meter that agrees with a known source can be believed.",
    ),
    Prompt(
        hint="Put on eye protection, take rings off, go to the auxiliary bank and take its lid off. Put the "
        "red lead on G2+ and the black one on X0, look at the display, and write it on the card.",
        at=("G2+", "X0"),
        question="Everything is switched off. What can this voltage tell?",
        choices=("how full the bank is, roughly", "whether the bank can carry a load"),
        right=0,
        explanation="At rest a voltage tells about charge. Whether the bank holds up shows only under load.",
    ),
    Prompt(
        hint="Leave the leads where they are. Turn the key on, switch parked cooling on, let a minute pass, "
        "watch the display, and write the reading down again.",
        at=("G2+", "X0"),
        readings=2,
        question="Compare the two readings on your card. What made the difference, if there is one?",
        choices=("current flowing out of the bank", "the meter"),
        right=0,
        explanation="Current through the battery's own resistance lowers its voltage. If nothing changed, "
        "nothing runs, and that is worth knowing too.",
    ),
)
"""For someone who sees the bench for the first time."""
