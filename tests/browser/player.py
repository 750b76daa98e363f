"""A learner's hands in the browser: plays a list of actions at a bench by its buttons, lists and fields.

Each action waits until the bench says that it is in the attempt file, so a step that the bench refuses fails the test.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, TimeoutError, expect

from parked_hvac.job.script import read_script
from parked_hvac.job.spoken import terminals

WAITS = (3600, 900, 60, 10)  # seconds of the four buttons
JUDGE_MS = 180_000  # for the debrief on a loaded build server


class Hands:
    """Plays at one bench."""

    def __init__(self, bench: Locator) -> None:
        self.bench = bench
        self.bench.scroll_into_view_if_needed()

    def play(self, script: Path) -> None:
        """Every action of a script, in order."""
        for step in read_script(script):
            own = getattr(self, f"_{step.action}", None)
            if own is None:
                self._by_place({"verb": step.action, **step.arguments})
            else:
                own(**step.arguments)

    def debrief(self) -> str:
        """Open the debrief and give its first line, such as '87 of 100 points.'."""
        self.bench.locator("[data-key=debrief]").click()
        expect(self.bench.locator("[data-heading=debrief]")).to_be_visible()
        try:
            self.bench.locator(".ph-parts").wait_for(timeout=JUDGE_MS)
        except TimeoutError as late:
            raise AssertionError(f"no debrief, but: {self.bench.inner_text()}") from late
        return self.bench.locator(".ph-verdict").text_content() or ""

    def _done(self, *presses: Locator) -> None:
        """Press, and wait each time until the attempt file has a line more."""
        saved = self.bench.locator(".ph-saved")
        for one in presses:
            before = saved.inner_text()
            one.click()
            expect(saved).not_to_have_text(before)

    def _key(self, key: str) -> Locator:
        return self.bench.locator(f"[data-key={json.dumps(key)}]")

    def _prepare(self, step: str) -> None:
        if self._key(step).get_attribute("aria-disabled") != "true":
            self._done(self._key(step))

    def _prove_meter(self) -> None:
        self._done(self._key("prove_meter"))

    def _touch_leads(self) -> None:
        self._done(self._key("touch_leads"))

    def _change_meter(self) -> None:
        self._done(self._key("change_meter"))

    def _judge(self, reading: str, verdict: str) -> None:
        self._done(self._key(f"Verdict on reading {reading.removeprefix('r')}:{verdict}"))

    def _switch_key(self, position: str) -> None:
        self._done(self._key(f"Key:{position}"))

    def _switch_parked_cooling(self, on: bool) -> None:
        self._done(self._key(f"Parked cooling:{str(on).lower()}"))

    def _set_blower(self, step: int) -> None:
        self._knob("Blower", step)

    def _set_temperature(self, celsius: float) -> None:
        self._knob("Set", celsius)

    def _knob(self, name: str, wanted: float) -> None:
        shown = self._key("truck").get_by_role("group", name=name, exact=True).locator("b")
        now = float(shown.inner_text().split()[0])
        for _ in range(round(abs(wanted - now))):
            self._done(self._key(f"{name}{'+' if wanted > now else '-'}"))

    def _wait(self, seconds: float) -> None:
        left = round(seconds)
        for length in WAITS:
            while left >= length:
                self._done(self._key(f"wait{length}"))
                left -= length
        assert left == 0, f"the bench cannot wait {seconds} s: use tens of seconds"

    def _hold(self, mode: str) -> None:
        self._done(self._key(f"Hold:{mode}"))

    def _place_leads(self, function: str, red: str, black: str) -> None:
        if self._key(f"Function:{function}").get_attribute("aria-pressed") != "true":
            self._key(f"Function:{function}").click()
            expect(self._key(f"Function:{function}")).to_have_attribute("aria-pressed", "true")
        for colour, terminal in (("red", red), ("black", black)):
            field = self.bench.locator(f"input[data-lead={colour}]")
            field.fill(terminal)
            field.press("Enter")
            expect(field).to_have_value(terminal)
            expect(self.bench.locator(f"[data-lead={colour}][data-at={json.dumps(terminal)}]").or_(
                self.bench.locator(".ph-elsewhere", has_text=terminals(terminal))).first).to_be_visible()  # fmt: skip

    def _measure(self, function: str | None = None, red: str | None = None, black: str | None = None) -> None:
        if function and red and black:
            self._place_leads(function, red, black)
        expect(self._key("write")).not_to_have_attribute("aria-disabled", "true")
        self._done(self._key("write"))

    def _conclude(self, cause: str | list[str], second: str | None = None) -> None:
        self._key("cause").click()
        causes = cause.split(" + ") if isinstance(cause, str) else list(cause)
        self.bench.locator(f"[data-cause={causes[0]}]").check()
        for other in [*causes[1:], *([second] if second else [])]:
            self.bench.locator("[data-second]").click()
            self.bench.locator(f"[data-cause={other}]").check()
        self._done(self._key("go"))

    def _repair(self, fault: str) -> None:
        self._key("repair").click()
        self.bench.locator(f"[data-cause={fault}]").check()
        self._done(self._key("go"))

    def _write_up(self, **texts: str) -> None:
        self._key("write_up").click()
        for name, text in texts.items():
            self.bench.locator(f"[data-field={name}]").fill(text)
        self._done(self._key("keep"))
        self._key("close").click()
        # What lies below moves when the paper goes; a press that begins before would end beside its button.
        expect(self.bench.locator("[data-heading]")).to_be_hidden()

    def _note(self, text: str) -> None:
        """A note has no place at the bench; what a learner thinks aloud is left out."""

    def _by_place(self, wanted: dict[str, Any]) -> None:
        """Whatever a place offers, by its button or its list; goes through the places until one offers it."""
        places = self.bench.locator("[data-tab]").evaluate_all("tabs => tabs.map(tab => tab.dataset.tab)")
        here = self.bench.locator("[data-tab][aria-selected=true]").get_attribute("data-tab")
        for place in [here, *places]:
            tab = self.bench.locator(f"[data-tab={place}]")
            tab.click()
            expect(tab).to_have_attribute("aria-selected", "true")
            # What a place offers is drawn by another widget, which may follow later.
            told = f"Here you can also: {tab.text_content()}"
            expect(self.bench.locator("[data-key=here]")).to_have_attribute("aria-label", told)
            if button := self._offered("[data-send]", "send", wanted):
                return self._done(self.bench.locator(f"[data-send={json.dumps(button)}]"))
            if option := self._offered("[data-pick] option", "value", wanted):
                value = json.dumps(option)
                picker = self.bench.locator(f".ph-picker:has(option[value={value}])")
                picker.locator("select").select_option(value=option)
                return self._done(picker.get_by_role("button"))
        raise AssertionError(f"no place at the bench offers {wanted}")

    def _offered(self, selector: str, attribute: str, wanted: dict[str, Any]) -> str | None:
        """The message, as written in the page, of the button or option that means the wanted action."""
        read = f"all => all.map(one => one.dataset.{attribute} ?? one.{attribute} ?? '')"
        written = self.bench.locator(selector).evaluate_all(read)
        return next(
            (one for one in written if one and {**json.loads(one), "do": ""} == {**wanted, "do": ""}), None
        )
