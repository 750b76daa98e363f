"""Check-yourself items: a question, an answer, an explanation at once, as many tries as one likes."""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from parked_hvac.bench.answers import DEFAULT_NAME, AnswersError, append_answer, read_answers
from parked_hvac.bench.frontend import Message, Panel, script, style
from parked_hvac.bench.summary import Notice
from parked_hvac.bench.words import VERDICTS

Text = str | Callable[[], str]
Number = float | Callable[[], float]

GRADING = "NBGRADER_EXECUTION"


@dataclass(frozen=True)
class Item:
    """One question. ``right`` is a number, or the index of a choice; None where the judge alone knows it."""

    text: Text
    explanation: Text = ""
    right: Number | int | None = None
    tolerance: float = 0.0
    """How far from ``right`` still counts, in ``unit``."""
    unit: str = ""
    choices: tuple[str, ...] = ()
    name: str | None = None
    """Name in the answer file; an item with one is graded and its answers are kept."""


def number(
    text: Text,
    right: Number | None,
    unit: str,
    tolerance: float,
    explanation: Text = "",
    name: str | None = None,
) -> Item:
    """A question with a number for an answer; a callable ``right`` takes its figure from the truck."""
    if not tolerance >= 0:
        raise ValueError(f"A tolerance of {tolerance} {unit} accepts nothing: give 0 or more.")
    return Item(text, explanation, right, tolerance, unit, (), name)


def choice(
    text: Text, choices: Sequence[str], right: int | None, explanation: Text = "", name: str | None = None
) -> Item:
    """A question with a few answers, one of them right; ``right`` is its index."""
    if right is not None and not 0 <= right < len(choices):
        raise ValueError(f"There is no choice {right}: give 0 to {len(choices) - 1}.")
    return Item(text, explanation, right, choices=tuple(choices), name=name)


def verdict(text: Text, right: str | None, explanation: Text = "", name: str | None = None) -> Item:
    """A reading to be judged: 'in_spec', 'out_of_spec' or 'tells_nothing'."""
    known = [key for key, _ in VERDICTS]
    if right is not None and right not in known:
        raise ValueError(f"There is no verdict {right!r}: choose one of {', '.join(known)}.")
    words = tuple(shown for _, shown in VERDICTS)
    return Item(text, explanation, None if right is None else known.index(right), choices=words, name=name)


class Items(Panel):
    """A list of items as one widget; graded ones keep each answer in a file beside the notebook."""

    _esm = script("items")
    _css = style("items")

    def __init__(self, items: Sequence[Item], path: Path) -> None:
        """Show the items; answers already in the file stand where they were given."""
        self._items = tuple(items)
        self._path = path
        self._given: list[str] = [""] * len(self._items)
        self._told: list[dict[str, Any]] = [{} for _ in self._items]
        for index, item in enumerate(self._items):
            if item.name is not None and (kept := read_answers(path).get(item.name)) is not None:
                self._given[index] = str(kept.answer)
                self._told[index] = {"kept": f"Kept: {kept.answer}"}
        super().__init__(self._answer, {}, self._view())

    def _view(self) -> dict[str, Any]:
        return {
            "items": [
                {
                    "text": _text(item.text),
                    "choices": list(item.choices),
                    "unit": item.unit,
                    "given": given,
                    "graded": item.name is not None,
                    **told,
                }
                for item, given, told in zip(self._items, self._given, self._told, strict=True)
            ]
        }

    def _answer(self, message: Message) -> None:
        index, given = message.get("item"), message.get("given")
        if isinstance(index, int) and 0 <= index < len(self._items) and isinstance(given, str):
            self._given[index] = given
            try:
                self._told[index] = self._judged(self._items[index], given)
            except (ValueError, OSError) as error:
                self._told[index] = {"refused": str(error)}
        self.view = self._view()

    def _judged(self, item: Item, given: str) -> dict[str, Any]:
        answer = _chosen(item, given) if item.choices else _parsed(given, item.unit)
        told: dict[str, Any] = {}
        if item.name is not None:
            kept = append_answer(self._path, item.name, given.strip())
            told["kept"] = f"Kept: {kept.answer}"
        if item.right is not None:
            right = item.right() if callable(item.right) else item.right
            # A hair more than the tolerance: 0.35 is within 0.05 of 0.30 in binary fractions too.
            good = abs(answer - right) <= item.tolerance * (1 + 1e-9) + 1e-12
            told |= {"right": good, "explanation": _text(item.explanation)}
        return told


def items(*listed: Item, path: Path | str = DEFAULT_NAME) -> Items | Notice:
    """A widget with these items; ``path``: answer file of the graded ones, beside the notebook.

    While nbgrader runs the notebook it is one sentence, and nothing is written.
    """
    file = Path(path)
    graded = [item.name for item in listed if item.name is not None]
    if GRADING in os.environ:
        return Notice(f"{len(listed)} items, {len(graded)} of them graded from {file.name}.")
    try:
        return Items(listed, file)
    except (AnswersError, OSError) as error:
        return Notice(str(error))


def _text(text: Text) -> str:
    return text() if callable(text) else text


def _chosen(item: Item, given: str) -> int:
    if given not in item.choices:
        raise ValueError(f"There is no answer {given!r}: choose one of those shown.")
    return item.choices.index(given)


def _parsed(given: str, unit: str) -> float:
    """The number a person typed: comma or point, a true minus sign, the unit behind it or not."""
    text = given.strip().removesuffix(unit).strip().replace("\N{MINUS SIGN}", "-").replace(",", ".")
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise ValueError(f"{given.strip()[:40]!r} is no number: write it like 0.35.")
    return value
