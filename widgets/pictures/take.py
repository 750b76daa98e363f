"""Take the pictures of the README: the bench in the middle of a job, and its debrief.

Needs Chromium and the test packages; run from the top of the repository with the environment's Python.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

TOP = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(TOP), str(TOP / "widgets")]

from lab import server  # noqa: E402 (the launcher is no part of the package)
from parked_hvac import start  # noqa: E402
from tests.browser.desk import CHROMIUM_FLAGS, Desk  # noqa: E402

STEPS: tuple[tuple[str, dict[str, object]], ...] = (
    ("prepare", {"step": "chock_wheels"}),
    ("prepare", {"step": "eye_protection"}),
    ("prepare", {"step": "rings_off"}),
    ("prove_meter", {}),
    ("judge", {"reading": "r1", "verdict": "in_spec"}),
    ("switch_key", {"position": "on"}),
    ("switch_parked_cooling", {"on": True}),
    ("set_blower", {"step": 4}),
    ("set_temperature", {"celsius": 18.0}),
    ("wait", {"seconds": 60.0}),
    ("feel", {"location": "bunk"}),
    ("judge", {"reading": "r2", "verdict": "out_of_spec"}),
    ("read_codes", {}),
    ("judge", {"reading": "r3", "verdict": "out_of_spec"}),
    ("open_cover", {"cover": "unit_lid"}),
    ("measure", {"function": "dc_volts", "red": "X20", "black": "X22"}),
    ("judge", {"reading": "r4", "verdict": "out_of_spec"}),
    ("measure", {"function": "dc_volts", "red": "K1.30", "black": "K1.87"}),
    ("judge", {"reading": "r5", "verdict": "out_of_spec"}),
)
END: tuple[tuple[str, dict[str, object]], ...] = (
    ("conclude", {"cause": "k1_contact_burnt"}),
    ("repair", {"fault": "k1_contact_burnt"}),
    ("wait", {"seconds": 120.0}),
    ("feel", {"location": "bunk"}),
    ("judge", {"reading": "r6", "verdict": "in_spec"}),
    (
        "write_up",
        {
            "complaint": "No cold while parked, confirmed at 30 °C.",
            "cause": "Contact of relay K1 burnt: 1.2 V across it at 6 A.",
            "correction": "Relay K1 replaced; the bunk cools again.",
        },
    ),
)


def main() -> None:
    """Write bench.png and debrief.png beside this file."""
    course = Path(tempfile.mkdtemp())
    running = server.start(Path(sys.executable), course, None)
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(
                executable_path="/usr/bin/chromium", args=list(CHROMIUM_FLAGS)
            )
            folder = running.course / "pictures"
            folder.mkdir()
            axe = TOP / "tests/browser/node_modules/axe-core/axe.min.js"
            desk = Desk(running, browser, axe, folder, TOP / "lessons")
            attempt = start("night-call", learner="A17", path=folder / "night-call.jsonl")
            for verb, arguments in STEPS:
                attempt.do(verb, **arguments)
            _picture(desk, "bench", "unit_opened")
            for verb, arguments in END:
                attempt.do(verb, **arguments)
            _picture(desk, "debrief", None)
            desk.clear()
            browser.close()
    finally:
        server.stop(running)


def _picture(desk: Desk, name: str, place: str | None) -> None:
    desk.write_notebook(f"{name}.ipynb", ["from parked_hvac.bench import bench", "bench('night-call')"])
    visit = desk.open(f"{name}.ipynb")
    visit.run_all()
    if place is not None:
        visit.wait_for(f"[data-tab={place}]").click()
        visit.wait_for(f".ph-drawing[data-location={place}]")
    else:
        visit.wait_for("[data-key=debrief]").click()
        visit.page.locator(".ph-parts").wait_for(timeout=300_000)  # the judge runs a thousand trucks
    visit.wait_for(".ph-frame").screenshot(path=Path(__file__).with_name(f"{name}.png"))


if __name__ == "__main__":
    main()
