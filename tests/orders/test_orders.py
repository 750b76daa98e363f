"""Can each order be solved by looking, does care earn more than haste, and are all families of faults there?"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from parked_hvac.assessment.case import best_for
from parked_hvac.assessment.grading import grade
from parked_hvac.diagnosis.solution import CERTAIN
from parked_hvac.job.attempt import start
from parked_hvac.job.order import orders
from parked_hvac.job.script import read_script
from parked_hvac.job.seal import SELF_STUDY_KEY, draw_ticket
from parked_hvac.rig.faults import faults

pytestmark = pytest.mark.slow

FOLDER = Path(__file__).parent
LEARNER = "A17"  # for whose hidden faults the scripts beside this file were written
JOBS = sorted(path.name.removesuffix(".right.jsonl") for path in FOLDER.glob("*.right.jsonl"))


def benched(job: str) -> bool:
    """Whether a lesson has a bench for it; then tests/browser/test_lessons.py plays the same scripts there."""
    lessons = FOLDER.parents[1].glob("lessons/*/*.ipynb")
    return any(f'bench(\\"{job}\\")' in path.read_text(encoding="utf-8") for path in lessons)


def played(job: str, name: str, folder: Path) -> Path:
    """The attempt that a script makes."""
    path = folder / f"{job}.{name}.jsonl"
    attempt = start(job, learner=LEARNER, path=path)
    for step in read_script(FOLDER / f"{job}.{name}.jsonl"):
        attempt.do(step.action, **step.arguments)
    return path


@pytest.mark.parametrize("job", [job for job in JOBS if not benched(job)])
def test_does_care_earn_more_than_haste(job: str, tmp_path: Path) -> None:
    right = grade(played(job, "right", tmp_path))
    assert right.total >= 85, right.report()
    wrong = grade(played(job, "wrong", tmp_path))
    assert wrong.total <= 50, wrong.report()


# Each takes some twenty seconds; PARKED_HVAC_ALL=1 solves every one.
SOLVED = (
    sorted(orders())
    if os.environ.get("PARKED_HVAC_ALL")
    else ["cool-enough", "dash-light", "night-call", "on-and-off"]
)


@pytest.mark.parametrize("name", SOLVED)
def test_can_an_order_be_solved_by_looking(name: str) -> None:
    """By the best path found, within the access rules, for one learner's variant."""
    found = best_for(draw_ticket(orders()[name], LEARNER, SELF_STUDY_KEY))
    assert found.certainty >= CERTAIN, found.analysis.ranked()


def test_is_the_difficulty_of_every_order_the_judges_own() -> None:
    """As the page of answers has it, which is made from bits and minutes of the best paths."""
    page = (FOLDER.parents[1] / "solutions" / "answers.md").read_text("utf-8")
    told = {
        row[1]: int(row[2])
        for row in re.finditer(r"^\| \[.*\]\(#(.+)\) \| \S+ \| (\d) \|", page, re.MULTILINE)
    }
    assert told == {name: order.difficulty for name, order in orders().items()}


def test_are_there_enough_orders_of_every_kind() -> None:
    """Thirty orders, 4 of them without a fault and 4 with two, over all families."""
    pools = {name: order.causes for name, order in orders().items()}
    assert len(pools) >= 30
    healthy = [
        name
        for name, pool in pools.items()
        if {fault for group in pool for fault in group} == {"nothing_wrong"}
    ]
    double = [name for name, pool in pools.items() if any(len(group) > 1 for group in pool)]
    assert len(healthy) >= 4, healthy
    assert len(double) >= 4, double
    drawn = {fault for pool in pools.values() for group in pool for fault in group}
    assert {faults()[name].family for name in drawn} == {one.family for one in faults().values()}


def test_may_every_fault_that_the_truck_can_have_hide_in_some_order() -> None:
    drawn = {fault for order in orders().values() for group in order.causes for fault in group}
    assert sorted(set(faults()) - drawn) == []
