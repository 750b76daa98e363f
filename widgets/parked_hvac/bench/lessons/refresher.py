"""The refresher: two orders chosen from a placement check, and a profile of skills at the end."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Sequence
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets

from parked_hvac.bench.items import GRADING
from parked_hvac.bench.lessons.on_demand import opened
from parked_hvac.bench.plots import SERIES
from parked_hvac.bench.summary import Notice
from parked_hvac.job.errors import AttemptError
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import SELF_STUDY, holder

PLACEMENT = "placement-check"
_AS_WIDE_AS_ITS_WORDS = {"width": "auto", "align_self": "flex-start"}


class Step(ipywidgets.VBox):  # type: ignore[misc]
    """A sentence, a button, and what comes of pressing it; the work is done beside, so that nothing freezes."""

    def __init__(self, sentence: str, press: str, work: Callable[[], Sequence[Any]]) -> None:
        """``work`` gives the widgets to show below; its ValueError is shown as the sentence."""
        self.said = ipywidgets.HTML(value=_paragraph(sentence))
        self.go = ipywidgets.Button(description=press, layout=_AS_WIDE_AS_ITS_WORDS)
        self.go.on_click(lambda _button: self.begin())
        self._work = work
        self._thread: threading.Thread | None = None
        super().__init__(children=[self.said, self.go])

    def begin(self) -> None:
        """Start the work unless it is under way."""
        if self._thread is None:
            self.go.disabled = True
            self.say("Working …")
            self._thread = threading.Thread(target=self._run, name=self.go.description, daemon=True)
            self._thread.start()

    def wait(self) -> None:
        """Wait until the work under way has ended."""
        if (thread := self._thread) is not None:
            thread.join()

    def say(self, sentence: str) -> None:
        """Tell how far it is."""
        self.said.value = _paragraph(sentence)

    def _run(self) -> None:
        try:
            self.children = (self.said, self.go, *self._work())
        except (ValueError, OSError) as error:
            self.say(str(error))
        except Exception as error:
            # An exception in a thread would be lost.
            self.say(
                f"This stumbled ({type(error).__name__}: {error}). Your work is safe; run the cell again."
            )
        finally:
            self.go.disabled = False
            self._thread = None


def two_orders() -> Any:
    """The choice of two orders and their benches; made once, the same at each opening.

    While nbgrader runs the notebook it is one sentence, and nothing is chosen.
    """
    if GRADING in os.environ:
        return Notice("Two orders, chosen from the placement check.")
    step = Step("Give all six readings above a verdict first.", "Choose my two orders", lambda: ())
    step._work = lambda: _chosen(step)
    if _begun():
        step.begin()
    return step


def my_profile() -> Any:
    """The profile of skills: placement check, the two orders, and what lies in the folders of the other lessons."""
    if GRADING in os.environ:
        return Notice("A profile of skills.")
    step = Step(
        "The judge goes through your two orders, and through the cards and jobs of your earlier lessons. This may take a minute or two.", "Show my profile", lambda: ()
    )  # fmt: skip
    step._work = lambda: _profiled(step)
    return step


def _begun() -> bool:
    from parked_hvac.assessment.choice import CHOICE_NAME

    return Path(CHOICE_NAME).exists()


def _chosen(step: Step) -> Sequence[Any]:
    from parked_hvac.assessment.choice import choose, keep, kept
    from parked_hvac.assessment.gathered import card_evidence, earlier
    from parked_hvac.assessment.profile import profile

    here, learner = Path(), holder(Path()) or SELF_STUDY
    choice = kept(here)
    if choice is None:
        first = card_evidence(here, PLACEMENT, all_judged=True)
        before = earlier(here, learner, jobs=False, say=step.say)
        choice = keep(here, choose(learner, profile([*first, *before])))
    step.say("These two orders are yours. They stay the same when you open this notebook again.")
    step.go.layout.display = "none"
    shown: list[Any] = []
    for place, (name, reason) in enumerate(zip(choice.orders, choice.reasons, strict=True), 1):
        order = order_named(name)
        shown.append(
            ipywidgets.HTML(
                value=f"<h3>Order {place}: {escape(order.title)}</h3>{_paragraph(f'Chosen for {reason}')}"
            )
        )
        shown.append(_bench_when_asked(name))
    return shown


def _bench_when_asked(name: str) -> Any:
    """The bench of an order that was begun; of another one, a button that opens it."""
    box = ipywidgets.VBox([])

    def show(_button: Any = None) -> None:
        box.children = (opened(name),)

    if Path(f"{name}.jsonl").exists():
        show()
    else:
        go = ipywidgets.Button(
            description=f"Open the bench: {order_named(name).title}", layout=_AS_WIDE_AS_ITS_WORDS
        )
        go.on_click(show)
        box.children = (go,)
    return box


def _profiled(step: Step) -> Sequence[Any]:
    from parked_hvac.assessment.choice import kept
    from parked_hvac.assessment.gathered import card_evidence, earlier, job_evidence
    from parked_hvac.assessment.profile import lessons_for, profile
    from parked_hvac.bench.lessons.profile_plot import profile_plot, profile_rows

    here, learner = Path(), holder(Path()) or SELF_STUDY
    choice = kept(here)
    evidence = list(card_evidence(here, PLACEMENT))
    undone = []
    for name in choice.orders if choice else ():
        step.say(f"Judging {order_named(name).title} …")
        try:
            evidence += job_evidence(here, name)
        except AttemptError:
            undone.append(f"'{order_named(name).title}' is not done yet.")
    evidence += earlier(here, learner, jobs=True, say=step.say)
    levels = [level for level in profile(evidence).values() if level.trials]
    step.say(" ".join(["This is what your work shows so far.", *undone]))
    brush = [(title, where) for title, where in lessons_for(levels)]
    if not brush and all(level.held for level in levels):
        brush = [("Nothing stands out", "take a harder order")]
    elif not brush:
        brush = [("Nothing so far", "some skills have too little work behind them; more of it will tell")]
    return [
        ipywidgets.HTML(value=profile_plot(levels)._repr_html_()),
        ipywidgets.HTML(value=_listed("Your skills", profile_rows(levels))),
        ipywidgets.HTML(value=_listed("To brush up", brush)),
    ]


def _listed(heading: str, rows: Sequence[tuple[str, str]]) -> str:
    entries = "".join(f"<li><b>{escape(left)}</b>: {escape(right)}</li>" for left, right in rows)
    return f"<h3>{heading}</h3><ul>{entries}</ul>"


def _paragraph(sentence: str) -> str:
    return f'<p role="status" style="border-left:4px solid {SERIES[0]};padding:4px 12px;margin:6px 0">{escape(sentence)}</p>'
