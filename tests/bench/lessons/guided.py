"""A learner who follows the guide of a lesson to its end."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from parked_hvac.bench.guide import Progress, Prompt, view
from parked_hvac.bench.items import Items
from parked_hvac.job.attempt import Attempt, start

Act = tuple[str, dict[str, Any]]


def act(verb: str, **arguments: Any) -> Act:
    """One action as ``Attempt.do`` takes it."""
    return verb, arguments


def asked(widget: object) -> Items:
    """The items that a lesson asks, where it does ask."""
    assert isinstance(widget, Items)
    return widget


def meter(function: str, red: str, black: str) -> Act:
    """A reading of the meter."""
    return act("measure", function=function, red=red, black=black)


def walked(
    order: str, guide: Sequence[Prompt], chapters: Iterable[Sequence[Act]], folder: Path, learner: str = "A17"
) -> Attempt:
    """The attempt after a walk in which each chapter of actions is what its prompt asks for.

    Fails where a prompt is met before its chapter, or is not met after it.
    """
    attempt = start(order, learner, folder / f"{order}-{learner}.jsonl")
    progress = Progress(tuple(guide))
    for chapter in chapters:
        prompt = guide[progress.at]
        assert view(attempt, progress)["text"] == prompt.hint
        for verb, arguments in chapter:
            attempt.do(verb, **arguments)
        assert prompt.met(attempt), prompt.hint
        if prompt.choices:
            progress.choose(prompt.right or 0)
            assert view(attempt, progress)["verdict"] in ("Yes.", "")
        assert view(attempt, progress)["explanation"] == prompt.explanation
        progress.go_on()
    assert view(attempt, progress)["done"]
    return attempt
