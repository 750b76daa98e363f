"""What a learner waits for: the bench drawn, and a click that becomes a figure on the meter."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import numpy as np
from playwright.sync_api import sync_playwright

from lab import server
from tests.browser.desk import CHROMIUM_FLAGS, Desk, Visit
from tests.conftest import require_program

REPOSITORY = Path(__file__).resolve().parents[2]
DRAWN, FIGURE = ".ph-drawing", ".ph-display-figure"

RUN_ALL = ".jp-NotebookPanel-toolbar [data-command='apputils:run-all-enabled']"
GIVE_UP_MS = 30_000

# Timed inside the page, so that the driver's own way there and back does not count: from the click to
# the frame in which what was waited for is on the screen, changed.
WATCH = """awaited => {
  const text = () => document.querySelector(awaited)?.textContent;
  const before = text();
  let begun;
  document.addEventListener('click', () => { begun = performance.now(); }, {capture: true, once: true});
  window.benchTaken = new Promise(resolve => {
    const seen = new MutationObserver(() => {
      if (begun === undefined || text() === undefined || text() === before) return;
      seen.disconnect();
      requestAnimationFrame(() => resolve(performance.now() - begun));
    });
    seen.observe(document.body, {subtree: true, childList: true, characterData: true});
  });
}"""
TAKEN = """limit => Promise.race([window.benchTaken, new Promise((_, reject) =>
  setTimeout(() => reject(new Error('what was waited for did not change')), limit))])"""


def rows(order: str, repeat: int) -> list[tuple[str, float, float, float | None]]:
    """Name, median and 95th percentile in ms, and the limit, of the bench drawn and of click to figure."""
    chromium = require_program("chromium", "CHROMIUM")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=list(CHROMIUM_FLAGS))
        lab = server.start(Path(sys.executable), Path(folder), None)
        try:
            desk = Desk(lab, browser, Path(), Path(folder), REPOSITORY / "lessons")
            drawn = [_drawn_ms(desk, order, number) for number in range(4)]
            clicks = _clicks_ms(desk, order, repeat)
        finally:
            server.stop(lab)
            browser.close()
    return [
        ("bench drawn after its cell is run", *_spread(drawn), 2000),
        ("click on a terminal to figure on the meter", *_spread(clicks), 100),
    ]


def _drawn_ms(desk: Desk, order: str, number: int) -> float:
    """Kernel up, nothing imported yet, as when a learner runs the first cell."""
    name = f"drawn-{number}/bench.ipynb"  # each in a folder of its own, where its attempt lands
    desk.write_notebook(name, [_cell(order)])
    visit = desk.open(name)
    taken = _timed_ms(visit, RUN_ALL, DRAWN)
    visit.page.context.close()
    return taken


def _clicks_ms(desk: Desk, order: str, repeat: int) -> list[float]:
    """Clicks place red and black in turn: only the red lead changes sides, so every other click is timed."""
    name = "clicks/bench.ipynb"
    desk.write_notebook(name, [_cell(order)])
    visit = desk.open(name)
    visit.run_all()
    visit.wait_for("[data-tab=bunk]").click()
    visit.wait_for(".ph-drawing[data-location=bunk]")
    taken = []
    for number in range(repeat + 1):
        red = f"[data-terminal='{('P1.+', 'P1.K')[number % 2]}']"
        if number == 0:
            visit.wait_for(red).click()
        else:
            taken.append(_timed_ms(visit, red, FIGURE))
        visit.wait_for("[data-key='next:black'][aria-pressed=true]")
        visit.wait_for("[data-terminal='P1.-']").click()
        visit.wait_for("[data-key='next:red'][aria-pressed=true]")
    return taken


def _timed_ms(visit: Visit, pressed: str, awaited: str) -> float:
    visit.page.evaluate(WATCH, awaited)
    visit.wait_for(pressed).click()
    return float(visit.page.evaluate(TAKEN, GIVE_UP_MS))


def _cell(order: str) -> str:
    return f"from parked_hvac.bench import bench\nbench({order!r}, learner='bench')"


def _spread(taken: list[float]) -> tuple[float, float]:
    return float(np.median(taken)), float(np.percentile(taken, 95))
