"""The whole way: handed out by a class, lesson 04 done in a real JupyterLab by a wrong turn, handed in and graded."""

from __future__ import annotations

import csv
import html
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.desk import PATIENCE_MS, Desk

pytestmark = [pytest.mark.browser, pytest.mark.slow]

LESSON = "lesson-04-power-on-its-way"
CARD, NIGHT_CALL = 1, 2  # the second and third bench of the lesson
LEARNER = "B02"
JOB_MARKS = 60  # of the lesson's 100


def course(*words: str) -> str:
    """What a command of the course prints; it may end with 1, which asks a person to look."""
    done = subprocess.run(
        [sys.executable, "-m", "parked_hvac.cli", *words], capture_output=True, text=True, check=False
    )
    assert done.returncode in (0, 1), done.stderr
    return done.stdout


def press(bench: Locator, key: str) -> None:
    bench.locator(f"[data-key='{key}']").click()


def all_in_sight(card: Locator) -> None:
    """A colleague's card shows each reading to be judged, without a list to scroll."""
    card.scroll_into_view_if_needed()
    rows = card.locator(".ph-card tbody tr")
    expect(rows).to_have_count(6)
    frame, last = card.bounding_box(), rows.last.bounding_box()
    assert frame is not None
    assert last is not None
    assert last["y"] + last["height"] <= frame["y"] + frame["height"]
    assert rows.last.evaluate("row => row.closest('.ph-scroll').scrollTop") == 0


def test_lesson_04_from_the_hand_out_to_the_graded_debrief(desk: Desk, tmp_path: Path) -> None:
    (tmp_path / "roster.csv").write_text(f"id,name\n{LEARNER},Sam Reed\n", encoding="utf-8")
    klass = tmp_path / "night"
    course("class", "new", str(klass), "--roster", str(tmp_path / "roster.csv"))
    course("class", "hand-out", str(klass))
    shutil.copytree(klass / "hand-out" / LEARNER / LESSON, desk.folder / LESSON)
    visit = desk.open(f"{LESSON}/{LESSON}.ipynb")
    visit.run_all()
    all_in_sight(visit.page.locator(".ph-frame").nth(CARD))
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

    # Handed in, it is graded by command to the same points, and the page to hand back says the same.
    course("class", "collect", str(klass), str(desk.folder))
    course("class", "grade", str(klass))
    with (klass / "marks.csv").open(encoding="utf-8-sig", newline="") as table:
        (row,) = [row for row in csv.DictReader(table) if row["lesson"] == LESSON]
    points = float(shown.split(" of 100 points")[0])
    # The bench shows whole points of 100.
    assert float(row["total"]) == pytest.approx(points * JOB_MARKS / 100, abs=0.5 * JOB_MARKS / 100)
    page = html.unescape((klass / "debriefs" / f"{LEARNER}.html").read_text(encoding="utf-8"))
    assert shown in page
    assert "&lt;b&gt;cause&lt;/b&gt; in a line" in (klass / "debriefs" / f"{LEARNER}.html").read_text("utf-8")
