"""Can a learner do each lesson's graded job in a real JupyterLab, and do care and haste earn different marks?"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from parked_hvac.job.order import order_named
from parked_hvac.job.seal import HAND_OUT_NAME, SELF_STUDY_KEY, issue_hand_out, write_hand_out
from tests.browser.desk import Desk
from tests.browser.player import Hands

pytestmark = [pytest.mark.browser, pytest.mark.slow]

TOP = Path(__file__).resolve().parents[2]
LEARNER = "A17"  # whose hidden faults the scripts of tests/orders were written for
ALL = sorted(
    path.name.removesuffix(".right.jsonl") for path in (TOP / "tests" / "orders").glob("*.right.jsonl")
)
# Each takes two minutes and more; PARKED_HVAC_ALL=1 plays every one.
JOBS = ALL if os.environ.get("PARKED_HVAC_ALL") else ["before-the-long-run", "blows-warm", "no-relief"]


def notebook_of(job: str) -> Path | None:
    """The released lesson with a bench for this order; None where the refresher chooses it."""
    found = [
        path
        for path in sorted(TOP.glob("lessons/*/*.ipynb"))
        if f'bench(\\"{job}\\")' in path.read_text(encoding="utf-8")
    ]
    return found[0] if found else None


@pytest.mark.parametrize("job", [job for job in JOBS if notebook_of(job)])
def test_do_care_and_haste_at_the_bench_earn_different_marks(desk: Desk, job: str) -> None:
    points = {name: played(desk, job, name) for name in ("right", "wrong")}
    assert points["right"] >= 85, points
    assert points["wrong"] <= 50, points


def played(desk: Desk, job: str, name: str) -> float:
    """Lay the lesson out for the learner, run all of it, play a script at its bench and read the debrief."""
    lesson = notebook_of(job)
    assert lesson is not None
    folder = desk.folder / f"{name}-{lesson.parent.name}"
    folder.mkdir()
    (folder / lesson.name).write_bytes(lesson.read_bytes())
    write_hand_out(
        issue_hand_out("self-study", LEARNER, [order_named(job)], SELF_STUDY_KEY), folder / HAND_OUT_NAME
    )
    visit = desk.open(f"{folder.name}/{lesson.name}")
    visit.run_all()
    bench = visit.page.locator(
        ".ph-frame", has=visit.page.get_by_text(order_named(job).title, exact=False)
    ).last
    hands = Hands(bench)
    hands.play(TOP / "tests" / "orders" / f"{job}.{name}.jsonl")
    told = hands.debrief()
    assert visit.accessibility_faults(".ph-frame") == []
    found = re.match(r"([\d.]+) of 100 points", told)
    assert found, told
    return float(found[1])
