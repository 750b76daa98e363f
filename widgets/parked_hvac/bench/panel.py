"""What opens over the picture: a paper, the list of causes, the write-up, the debrief."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from parked_hvac.bench import closing, papers
from parked_hvac.bench.debriefing import debrief_view
from parked_hvac.bench.frontend import Panel, script, style

if TYPE_CHECKING:
    from parked_hvac.bench.judging import Judging
    from parked_hvac.bench.screen import Screen
    from parked_hvac.job.attempt import Attempt

View = dict[str, Any]


class Paper(Panel):
    """The sheet that lies over picture and card while it is open."""

    _esm = script("panel")
    _css = style("panel")


def fixed() -> View:
    """The causes that can be named."""
    return {"causes": closing.causes()}


def _paper(title: str, blocks: list[papers.Block]) -> View:
    return {"kind": "paper", "title": title, "blocks": blocks}


PANELS: dict[str, Callable[[Attempt], View]] = {
    "order": lambda attempt: _paper("Work order", papers.order_paper(attempt.order)),
    "spec_sheet": lambda _attempt: _paper("Spec sheet", papers.spec_paper()),
    "wiring": lambda _attempt: _paper("Wiring", papers.wiring_paper()),
    "tables": lambda _attempt: _paper("Resistance tables", papers.resistance_paper()),
    "cause": closing.cause_view,
    "repair": closing.repair_view,
    "write_up": closing.write_up_view,
}
"""What each name opens; the debrief, which takes its time, is the judge's."""

DEBRIEF = "debrief"


def view(attempt: Attempt, screen: Screen, judging: Judging) -> View:
    """What is open now."""
    if screen.panel is None:
        return {"open": None}
    shown = debrief_view(judging) if screen.panel == DEBRIEF else PANELS[screen.panel](attempt)
    return {"open": screen.panel, "refused": screen.refused, **shown}
