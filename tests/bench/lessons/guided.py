"""A learner who follows the guide of a lesson to its end."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

from parked_hvac.bench.guide import Progress, Prompt, view
from parked_hvac.bench.items import Item, Items
from parked_hvac.job.attempt import Attempt, start

Act = tuple[str, dict[str, Any]]

ENOUGH = 8
"""Items that each check has at the least."""


def act(verb: str, **arguments: Any) -> Act:
    """One action as ``Attempt.do`` takes it."""
    return verb, arguments


def asked(widget: object) -> Items:
    """The items that a lesson asks, where it does ask."""
    assert isinstance(widget, Items)
    return widget


def explained(check: Callable[[], object]) -> tuple[Item, ...]:
    """The items of a lesson's check, once there are enough and each says why its answer is right."""
    listed = asked(check())._items
    assert len(listed) >= ENOUGH
    assert [item.text for item in listed if not item.explanation] == []
    return listed


def differ(check: Callable[[], object], index: int = 0) -> bool:
    """Whether an item of a check has other figures at some of eight turns."""
    return len({str(asked(check())._items[index].text) for _ in range(8)}) > 1


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
