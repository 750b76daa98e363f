"""The bench: the learner's whole world on one screen."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import ipywidgets
from IPython.display import display

from parked_hvac.bench import card, guide, hands, head, meter, panel, picture
from parked_hvac.bench.debriefing import judged_view
from parked_hvac.bench.frontend import Message, Panel
from parked_hvac.bench.guide import Progress, Prompt
from parked_hvac.bench.judging import Judging
from parked_hvac.bench.screen import LEADS, Screen, screen_for
from parked_hvac.bench.summary import not_connected
from parked_hvac.bench.trace import Trace
from parked_hvac.job import access
from parked_hvac.job.attempt import Attempt
from parked_hvac.job.errors import AttemptError, Refused
from parked_hvac.job.reading import Reading
from parked_hvac.job.spoken import terminals
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.tables import DataError, nearest

RETIRED = (
    "This bench is closed: the same attempt was opened again in this notebook. Go on there, or run this cell again "
    "to go on here."
)


class Bench(ipywidgets.Box):  # type: ignore[misc]
    """All panels of one attempt; what they show is made anew from the attempt after each message."""

    def __init__(self, attempt: Attempt, prompts: tuple[Prompt, ...] = ()) -> None:
        """Lay the panels out for an attempt just opened; with prompts, a guide stands below the head."""
        self.attempt = attempt
        self.screen: Screen = screen_for(attempt)
        self.progress = Progress(prompts)
        self.judging = Judging(judged_view, self.show)
        # Clicks, cells that run and the judge come from threads of their own.
        self._one_at_a_time = threading.RLock()
        self._retired = False
        views = self._views()
        self._panels: dict[str, Panel] = {
            "head": head.Head(self.receive, head.fixed(attempt.order), views["head"]),
            "picture": picture.Picture(self.receive, picture.fixed(), views["picture"]),
            "card": card.Card(self.receive, card.fixed(attempt.order.id), views["card"]),
            "panel": panel.Paper(self.receive, panel.fixed(), views["panel"]),
            "meter": meter.Meter(self.receive, meter.fixed(), views["meter"]),
            "hands": hands.Hands(self.receive, hands.fixed(), views["hands"]),
        }
        if prompts:
            self._panels["guide"] = guide.Guide(self.receive, {}, views["guide"])
        work = _box("ph-work", [self._panels[name] for name in ("picture", "card", "panel")])
        side = _box("ph-side", [self._panels[name] for name in ("meter", "hands")])
        top = [self._panels[name] for name in ("head", "guide") if name in self._panels]
        inner = _box("ph-bench", [*top, work, side])
        super().__init__(children=[inner])
        self.add_class("ph-frame")

    def __repr__(self) -> str:
        """The same at each run: order and file, no address."""
        return f"Bench for order {self.attempt.order.id!r}, attempt in {self.attempt.path.name}"

    def _ipython_display_(self) -> None:
        """Show the bench, with a line under it that the live bench hides and a reopened notebook shows."""
        show: Callable[..., None] = display
        show({"text/html": not_connected(self.attempt.order.title), "text/plain": ""}, raw=True)
        show(self._repr_mimebundle_(), raw=True)

    def receive(self, message: Message) -> None:
        """Do what a click asks for; whatever goes wrong is said on the screen in one sentence."""
        with self._one_at_a_time:
            self._receive(message)

    def _receive(self, message: Message) -> None:
        if self._retired:
            self.retire()
            return
        self.screen.refused = None
        try:
            handler = _HANDLERS.get(str(message.get("do")))
            if handler is None:
                raise Refused(
                    f"The bench knows no {message.get('do')!r}; {nearest(str(message.get('do')), _HANDLERS)}"
                )
            handler(self, message)
        except (Refused, AttemptError, DataError) as error:
            self.screen.refused = str(error)
        except Exception as error:
            # A callback's exception would be lost in the log console, so it is told here.
            self.screen.refused = (
                f"The bench stumbled ({type(error).__name__}: {error}). Your work is in "
                f"{self.attempt.path.name}; run this cell again."
            )
        self.show()

    def show(self) -> None:
        """Bring every panel up to date; the judge's thread asks for it too when the debrief is ready."""
        with self._one_at_a_time:
            for name, view in self._views().items():
                if name in self._panels and self._panels[name].view != view:
                    self._panels[name].view = view

    def retire(self) -> None:
        """Take no more actions: the same attempt was opened again, and two benches must not write into one file.

        The widgets are not closed, because JupyterLab logs errors for widgets that close while they are shown.
        """
        self._retired = True
        for one in self._panels.values():
            one.send({"gone": RETIRED})

    def _views(self) -> dict[str, dict[str, Any]]:
        return {
            "head": head.view(self.attempt, self.screen),
            "picture": picture.view(self.attempt, self.screen),
            "card": card.view(self.attempt, self.screen),
            "panel": panel.view(self.attempt, self.screen, self.judging),
            "meter": meter.view(self.attempt, self.screen),
            "hands": hands.view(self.attempt, self.screen),
            "guide": guide.view(self.attempt, self.progress),
        }

    def _act(self, message: Message) -> None:
        """Take an action of the vocabulary."""
        arguments = {name: value for name, value in message.items() if name not in ("do", "verb", "n")}
        verb = str(message.get("verb"))
        if verb == "wait":
            self.screen.trace = Trace(self._volts_between())
            self.attempt.watch(self.screen.trace.sample)
        try:
            done = self.attempt.do(verb, **arguments)
        finally:
            self.attempt.watch(None)
        if verb not in ("wait", "judge", "note", "write_up"):
            self.screen.trace = None
        self.screen.message = self.attempt.entries[-1].message
        if isinstance(done, Reading):
            self.screen.message = f"On the card: {done.label}: {done.display}."
        self.screen.follow(self.attempt)
        if verb in ("conclude", "repair"):
            self.screen.panel = None

    def _turn(self, message: Message) -> None:
        """Turn a knob by a notch from where it stands when the click arrives."""
        knob, by = str(message.get("knob")), message.get("by")
        if knob not in hands.KNOBS or by not in (-1, 1):
            raise Refused(f"There is no knob {knob!r} to turn by {by!r}; {nearest(knob, hands.KNOBS)}")
        step = hands.turned(self.attempt, knob, int(by))
        if step is None:
            raise Refused("The knob is at its end.")
        self._act({"do": "act", "verb": step[0], **step[1]})

    def _touch(self, message: Message) -> None:
        """Put a lead on a terminal; once both are placed the meter reads."""
        # A name copied from a lesson has a minus sign where data and keyboards have a hyphen.
        name = str(message.get("terminal", "")).strip().replace("\N{MINUS SIGN}", "-")
        lead = str(message.get("lead") or self.screen.next_lead)
        if lead not in LEADS:
            raise Refused(f"There is no {lead!r} lead; {nearest(lead, LEADS)}")
        if not name:
            raise Refused("No terminal is named: click one in the picture, or type its name.")
        terminal = catalogue().terminal(name)
        access.reach("place_leads", {"red": name, "black": name}, self.attempt.open_covers)
        leads = {**self.screen.leads, lead: name}
        self._place(self.screen.function, leads)
        self.screen.next_lead = LEADS[1 - LEADS.index(lead)]
        self.screen.message = (
            self.screen.message or f"The {lead} lead is on {terminals(name)}, {terminal.label}."
        )

    def _place(self, function: str, leads: dict[str, str | None]) -> None:
        self.screen.message = ""
        if all(leads.values()):
            self.attempt.do("place_leads", function=function, **leads)
            self.screen.message = self.attempt.entries[-1].message
        self.screen.function, self.screen.leads = function, leads

    def _set_function(self, message: Message) -> None:
        self._place(str(message.get("function")), dict(self.screen.leads))

    def _select_lead(self, message: Message) -> None:
        lead = str(message.get("lead"))
        if lead in LEADS:
            self.screen.next_lead = lead

    def _write(self, _message: Message) -> None:
        if self.attempt.leads is None:
            raise Refused("The leads are nowhere: put red and black on terminals first.")
        self._act({"do": "act", "verb": "measure"})

    def _go(self, message: Message) -> None:
        location = str(message.get("location"))
        if location not in catalogue().locations:
            raise Refused(f"There is no place {location!r}; {nearest(location, catalogue().locations)}")
        self.screen.location = location
        self.screen.message = ""

    def _open(self, message: Message) -> None:
        name = message.get("panel")
        known = (*panel.PANELS, panel.DEBRIEF)
        if name is not None and name not in known:
            raise Refused(f"There is no paper {name!r}; {nearest(str(name), known)}")
        if name == panel.DEBRIEF:
            if self.attempt.concluded is None:
                raise Refused("There is no debrief yet: name the cause first.")
            self.judging.ask(self.attempt.path, len(self.attempt.entries))
        self.screen.panel = None if name is None or name == self.screen.panel else str(name)

    def _answer(self, message: Message) -> None:
        answer = message.get("answer")
        if isinstance(answer, int):
            self.progress.choose(answer)

    def _guide_on(self, _message: Message) -> None:
        self.progress.go_on()

    def _volts_between(self) -> tuple[str, str] | None:
        leads = self.attempt.leads
        return None if leads is None or leads[0] != "dc_volts" else (leads[1], leads[2])


_HANDLERS: dict[str, Callable[[Bench, Message], None]] = {
    "act": Bench._act,
    "turn": Bench._turn,
    "touch": Bench._touch,
    "set_function": Bench._set_function,
    "select_lead": Bench._select_lead,
    "write": Bench._write,
    "go": Bench._go,
    "open": Bench._open,
    "answer": Bench._answer,
    "guide_on": Bench._guide_on,
}


def _box(name: str, children: list[Any]) -> ipywidgets.Box:
    box = ipywidgets.Box(children=children)
    box.add_class(name)
    return box
