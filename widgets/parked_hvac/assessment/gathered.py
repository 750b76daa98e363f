"""Gathers evidence of skills from the folders a learner works in, by the same scorers as the marks."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from parked_hvac.assessment.apart import Submission, evaluate
from parked_hvac.assessment.card import is_card
from parked_hvac.assessment.profile import Evidence, of_plain
from parked_hvac.job.errors import AttemptError
from parked_hvac.job.log import read_log
from parked_hvac.job.order import orders

Say = Callable[[str], None]
_MOST_FILES = 60


def card_evidence(folder: Path, card: str, all_judged: bool = False) -> tuple[Evidence, ...]:
    """What the verdicts on a card say. AttemptError where there are none, or not all if all are asked for."""
    reply = evaluate("card_points", {"card": card, "maximum": 1.0}, Submission(folder))
    found = _evidence(reply)
    missing = [loss for loss in reply["report"]["losses"] if loss["reason"].endswith("not yet")]
    if all_judged and missing:
        raise AttemptError(
            f"{len(missing)} readings have no verdict yet: judge them on the card above, then press again."
        )
    return found


def job_evidence(folder: Path, order: str) -> tuple[Evidence, ...]:
    """What an attempt at an order says. AttemptError where it names no cause yet or cannot be scored."""
    return _evidence(evaluate("job_points", {"order": order, "maximum": 1.0}, Submission(folder)))


def earlier(folder: Path, learner: str, jobs: bool, say: Say = lambda sentence: None) -> tuple[Evidence, ...]:
    """What lies in the folders beside this one: the learner's cards, and jobs too if asked for (they take longer).

    A file that cannot be scored, or is another's, says nothing.
    """
    found: list[Evidence] = []
    for path in list(_attempts(folder, learner))[:_MOST_FILES]:
        card = is_card(path.stem)
        if not card and not jobs:
            continue
        say(f"Looking at {orders()[path.stem].title} …")
        reply = evaluate(
            "card_points" if card else "job_points",
            {"card" if card else "order": path.stem, "maximum": 1.0},
            Submission(path.parent),
        )
        found += of_plain((reply.get("report") or {}).get("evidence", ()))
    return tuple(found)


def _attempts(folder: Path, learner: str) -> Iterator[Path]:
    """Attempt files of the learner's in the folders beside this one, by name."""
    here = folder.resolve()
    for path in sorted(here.parent.glob("*/*.jsonl")):
        if path.parent == here or path.stem not in orders() or path.is_symlink():
            continue
        try:
            header = read_log(path).header
        except (AttemptError, OSError):
            continue
        if (header.order, header.learner) == (path.stem, learner):
            yield path


def _evidence(reply: dict[str, Any]) -> tuple[Evidence, ...]:
    if reply["state"] != "scored":
        raise AttemptError(str(reply["reason"]))
    return of_plain(reply["report"]["evidence"])
