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
SCRIPTS = TOP / "tests" / "orders"


def notebook_of(job: str) -> Path | None:
    """The released lesson with a bench for this order; None where the refresher chooses it."""
    found = [
        path
        for path in sorted(TOP.glob("lessons/*/*.ipynb"))
        if f'bench(\\"{job}\\")' in path.read_text(encoding="utf-8")
    ]
    return found[0] if found else None


JOBS = [job for path in sorted(SCRIPTS.glob("*.right.jsonl")) if notebook_of(job := path.name.split(".")[0])]
# Each takes half a minute and more, so CI plays haste once in each lesson and care in three; PARKED_HVAC_ALL=1 plays all.
ALL = bool(os.environ.get("PARKED_HVAC_ALL"))
HASTY = JOBS if ALL else list({notebook_of(job): job for job in JOBS}.values())
CAREFUL = JOBS if ALL else ["before-the-long-run", "blows-warm", "no-relief"]


def test_has_each_lesson_a_job_to_play() -> None:
    lessons = {path.parent.name for path in TOP.glob("lessons/lesson-*/*.ipynb")}
    assert {lesson.parent.name for job in JOBS if (lesson := notebook_of(job))} == lessons


@pytest.mark.parametrize("job", CAREFUL)
def test_does_care_at_the_bench_earn_most(desk: Desk, job: str) -> None:
    assert played(desk, job, "right") >= 85


@pytest.mark.parametrize("job", HASTY)
def test_does_haste_at_the_bench_earn_little(desk: Desk, job: str) -> None:
    assert played(desk, job, "wrong") <= 50


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
    hands.play(SCRIPTS / f"{job}.{name}.jsonl")
    told = hands.debrief()
    assert visit.accessibility_faults(".jp-Notebook-cell") == []  # the whole lesson, the bench among it
    found = re.match(r"([\d.]+) of 100 points", told)
    assert found, told
    return float(found[1])
