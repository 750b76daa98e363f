"""Can an apprentice do lesson 04 in a real JupyterLab, and does the command line grade it alike?"""

from __future__ import annotations

import json
import re
import subprocess
import sys

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.desk import PATIENCE_MS, Desk

pytestmark = [pytest.mark.browser, pytest.mark.slow]

LESSON = "lesson-04-power-on-its-way"
NIGHT_CALL = 2  # the third bench of the lesson


def press(bench: Locator, key: str) -> None:
    bench.locator(f"[data-key='{key}']").click()


def test_lesson_04_from_run_all_to_the_debrief(desk: Desk) -> None:
    desk.lay_out_lessons()
    visit = desk.open(f"{LESSON}/{LESSON}.ipynb")
    visit.run_all()
    bench = visit.page.locator(".ph-frame").nth(NIGHT_CALL)
    bench.scroll_into_view_if_needed()
    keys = visit.page.keyboard
    cells = visit.cell_count()

    # Prepared, and the complaint confirmed before a part is touched.
    for step in ("chock_wheels", "eye_protection", "rings_off"):
        press(bench, step)
    bench.get_by_text(re.compile("^prove ")).click()
    expect(bench.locator(".ph-card tbody tr")).to_have_count(1)
    bench.locator("[data-key='Verdict on reading 1:in_spec']").click()
    bench.locator("[data-tab=bunk]").click()
    bench.get_by_text(re.compile("^feel ")).click()
    expect(bench.locator(".ph-card tbody tr")).to_have_count(2)

    # A reading by mouse ...
    bench.locator("[data-tab=unit_opened]").click()
    bench.locator(".ph-lid-button button").click()
    bench.locator("[data-terminal='X20']").click()
    bench.locator("[data-lead=red][data-at='X20']").wait_for()
    bench.locator("[data-terminal='X22']").click()
    bench.locator("[data-lead=black][data-at='X22']").wait_for()
    press(bench, "write")
    expect(bench.locator(".ph-card tbody tr")).to_have_count(3)

    # ... and one by keys alone.
    bench.locator("[data-terminal='K1.30']").focus()
    keys.press("r")
    bench.locator("[data-lead=red][data-at='K1.30']").wait_for()
    bench.locator("[data-key=write]").focus()
    keys.press("Enter")
    expect(bench.locator(".ph-card tbody tr")).to_have_count(4)
    assert visit.cell_count() == cells  # no key reached JupyterLab, which would have inserted a cell

    # The cause is named, and the debrief says how it went.
    press(bench, "cause")
    bench.locator("[data-cause=fuse_f13_blown]").check()
    press(bench, "go")
    press(bench, "write_up")
    for field in ("complaint", "cause", "correction"):
        bench.locator(f"[data-field={field}]").fill(f"<b>{field}</b> in a line")
    press(bench, "keep")
    expect(bench.locator("[data-key='debrief']")).not_to_have_attribute("aria-disabled", "true")
    keys.press("Escape")
    press(bench, "debrief")
    bench.locator(".ph-parts").wait_for(timeout=3 * PATIENCE_MS)
    shown = bench.locator(".ph-verdict").text_content() or ""
    assert visit.accessibility_faults(".ph-frame") == []

    # The command line replays the same file and comes to the same points.
    attempt = desk.folder / LESSON / "night-call.jsonl"
    done = subprocess.run(
        [sys.executable, "-m", "parked_hvac.cli", "grade", str(attempt), "--json"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode in (0, 1), done.stderr
    total = json.loads(done.stdout)[0]["total"]
    assert f"{total:.0f}" in shown, (total, shown)
