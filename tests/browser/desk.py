"""A desk in the real course: JupyterLab as the launcher starts it, and a browser that tells what it asks for.

A test asks for the fixture ``desk``, writes or lays out a notebook, opens it and works:

    def test_meter(desk):
        desk.lay_out_lessons()
        visit = desk.open("lesson-04-power-on-its-way/power-on-its-way.ipynb")
        visit.run_all()
        visit.wait_for(".meter").click()
        assert visit.accessibility_faults(".bench") == []

When the test ends, every visit must have stayed on this machine and without a console error.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit
from urllib.request import ProxyHandler, Request, build_opener

import nbformat
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Locator, Page, WebSocket

from lab import course, server
from tests.browser.talk import Talk

# Chromium asks for its maker's hosts at every start unless told not to.
CHROMIUM_FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
PATIENCE_MS = 60_000  # for a loaded build server; a wait ends as soon as its condition holds

AXE_RUN = """async selector => {
  const found = await axe.run(selector, {resultTypes: ['violations']});
  return found.violations.map(fault => ({
    rule: fault.id, impact: fault.impact, help: fault.help,
    places: fault.nodes.map(node => node.target.join(' ') + '  ' + node.html.slice(0, 160)),
  }));
}"""


@dataclass(frozen=True)
class AccessibilityFault:
    """One rule that axe-core found broken: its id, 'minor' to 'critical', its sentence, and where."""

    rule: str
    impact: str
    help: str
    places: tuple[str, ...]


@dataclass
class Visit:
    """One browser window on one notebook."""

    page: Page
    axe: Path
    host: str
    requests: list[str] = field(default_factory=list)
    console_errors: list[str] = field(default_factory=list)
    kernel: WebSocket | None = None
    talk: Talk = field(default_factory=Talk)

    def watch(self) -> None:
        """Note every request and console error from here on."""
        self.page.context.on("request", lambda request: self.requests.append(request.url))
        self.page.on("websocket", self._hear_socket)
        self.page.on("console", self._hear)
        self.page.on("pageerror", lambda error: self.console_errors.append(str(error)))

    def go_to(self, address: str) -> None:
        """Open a notebook and wait until its kernel has answered; before that, 'Run all' does nothing."""
        with self.page.expect_websocket(lambda socket: "/api/kernels/" in socket.url):
            self.page.goto(address)
        self._hear_until(lambda: self.talk.answered)
        self.wait_for(".jp-Notebook .jp-Cell")
        self.wait_for(".jp-Notebook-ExecutionIndicator[data-status=idle]")

    def _hear_socket(self, socket: WebSocket) -> None:
        self.requests.append(socket.url)
        if "/api/kernels/" in socket.url:
            self.kernel = socket
            self.talk.follow(socket)

    def _hear_until(self, holds: Callable[[], bool]) -> None:
        """Wait for messages from the kernel until a condition on what was heard holds."""
        assert self.kernel is not None
        if not holds():
            self.kernel.wait_for_event("framereceived", lambda frame: holds(), timeout=PATIENCE_MS)

    def _hear(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.console_errors.append(f"{message.text} ({message.location.get('url', '')})")

    def wait_for(self, selector: str) -> Locator:
        """The first element that fits, once it is visible."""
        found = self.page.locator(selector).first
        found.wait_for(state="visible", timeout=PATIENCE_MS)
        return found

    def run_all(self) -> None:
        """Press 'Run all' and wait until every cell has run and the first one is in front of the reader.

        Anything on standard error, an exception or a warning, fails the test.
        """
        before = len(self.talk.asked)
        self.page.get_by_role("button", name="Run all", exact=True).click()
        self._hear_until(lambda: len(self.talk.asked) > before and self.talk.all_ran())
        assert not self.talk.stderr, "\n".join(self.talk.stderr)
        self.wait_for(".jp-Notebook .jp-Cell:first-child.jp-mod-active")

    def cell_count(self) -> int:
        """Cells of the notebook, of every kind."""
        return self.page.locator(".jp-Notebook .jp-Cell").count()

    def accessibility_faults(
        self, selector: str, impacts: Sequence[str] = ("serious", "critical")
    ) -> list[AccessibilityFault]:
        """What axe-core finds wrong inside the elements that fit; raises where none does."""
        if not self.page.evaluate("() => 'axe' in window"):
            self.page.evaluate(self.axe.read_text(encoding="utf-8"))
        found = self.page.evaluate(AXE_RUN, selector)
        faults = [AccessibilityFault(**fault | {"places": tuple(fault["places"])}) for fault in found]
        return [fault for fault in faults if fault.impact in impacts]

    def outside_requests(self) -> list[str]:
        """Addresses asked for that are not this machine's JupyterLab."""
        asked = ((address, urlsplit(address)) for address in self.requests)
        return [
            address
            for address, parts in asked
            if parts.scheme not in ("data", "blob", "about") and parts.netloc != self.host
        ]


@dataclass
class Desk:
    """A folder of its own below a running JupyterLab, and the browser to open notebooks with."""

    lab: server.Server
    browser: Browser
    axe: Path
    folder: Path
    released: Path
    visits: list[Visit] = field(default_factory=list)

    def write_notebook(self, name: str, cells: Sequence[str], *, folded: bool = False) -> Path:
        """Write a notebook of code cells below the desk's folder; folded, under a heading, they show as a line each."""
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        shown = {"jupyter": {"source_hidden": True}} if folded else {}
        # JupyterLab's own keys fail where there is no cell but folded ones; a lesson has always others.
        heading = [nbformat.v4.new_markdown_cell(f"# {path.stem}")] if folded else []
        notebook = nbformat.v4.new_notebook(
            cells=[*heading, *(nbformat.v4.new_code_cell(source, metadata=shown) for source in cells)],
            metadata={"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}},
        )
        nbformat.write(notebook, path)
        return path

    def lay_out_lessons(self) -> None:
        """Copy the released lessons into the desk's folder as the launcher does for a learner."""
        course.lay_out(self.released, self.folder, say=lambda sentence: None)

    def open(self, notebook: str, *, width: int = 1280, height: int = 800, dark: bool = False) -> Visit:
        """Open a notebook of the desk in a fresh browser context and wait for its kernel."""
        context: BrowserContext = self.browser.new_context(
            viewport={"width": width, "height": height}, color_scheme="dark" if dark else "light"
        )
        visit = Visit(context.new_page(), self.axe, urlsplit(self.lab.address).netloc)
        visit.watch()
        self.visits.append(visit)
        visit.go_to(self.lab.page(self.folder / notebook))
        return visit

    def clear(self) -> None:
        """Close every window and end every kernel."""
        for visit in self.visits:
            visit.page.context.close()
        for session in json.loads(self._ask("GET", "/api/sessions")):
            self._ask("DELETE", f"/api/sessions/{session['id']}")

    def _ask(self, method: str, path: str) -> bytes:
        request = Request(self.lab.address + path, method=method)
        request.add_header("Authorization", f"token {self.lab.token}")
        with build_opener(ProxyHandler({})).open(request) as answer:
            content: bytes = answer.read()
        return content
