"""Can an experienced technician do the refresher in a real JupyterLab, leave it, and find the same two orders again?"""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from parked_hvac.assessment.choice import PLACEMENT, kept, pool
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import HAND_OUT_NAME, SELF_STUDY_KEY, issue_hand_out, write_hand_out
from tests.browser.desk import PATIENCE_MS, Desk, Visit
from tests.browser.player import Hands

pytestmark = [pytest.mark.browser, pytest.mark.slow]

REFRESHER = "refresher/refresher.ipynb"


def titles(visit: Visit) -> list[str]:
    visit.wait_for("h3:has-text('Order 2:')")
    return visit.page.locator("h3", has_text="Order ").all_text_contents()


def test_the_refresher_from_the_placement_check_to_the_profile(desk: Desk) -> None:
    desk.lay_out_lessons()
    folder = desk.folder / "refresher"
    orders = [order_named(PLACEMENT), *pool()]
    write_hand_out(issue_hand_out("self-study", "A17", orders, SELF_STUDY_KEY), folder / HAND_OUT_NAME)
    visit = desk.open(REFRESHER)
    visit.run_all()

    # Nothing is chosen while readings have no verdict.
    choose = visit.page.get_by_role("button", name="Choose my two orders")
    choose.click()
    expect(
        visit.page.get_by_text("no reading in placement-check.jsonl has a verdict yet").last
    ).to_be_visible()
    assert kept(folder) is None

    hands = Hands(visit.page.locator(".ph-frame").first)
    for number in range(1, 7):
        hands._judge(f"r{number}", "in_spec")
    choose.click()
    first = titles(visit)
    choice = kept(folder)
    assert choice is not None
    assert [title.split(": ")[1] for title in first] == [order_named(name).title for name in choice.orders]

    # One bench is opened, and something done at it.
    begun = order_named(choice.orders[0])
    visit.page.get_by_role("button", name=f"Open the bench: {begun.title}").click()
    bench = visit.page.locator(".ph-frame", has_text=begun.title).last
    bench.wait_for(timeout=PATIENCE_MS)
    Hands(bench)._prepare("chock_wheels")
    visit.page.get_by_role("button", name="Show my profile").click()
    visit.wait_for("h3:has-text('To brush up')")
    expect(visit.page.get_by_text("What your work says about each skill").first).to_be_visible()
    assert visit.accessibility_faults(".jp-OutputArea") == []

    # Another day: the same two orders, and the begun one goes on where it stood.
    again = desk.open(REFRESHER)
    again.run_all()
    assert titles(again) == first
    resumed = again.page.locator(".ph-frame", has_text=begun.title).last
    resumed.wait_for(timeout=PATIENCE_MS)
    expect(resumed.locator("[data-key='chock_wheels']")).to_have_attribute("aria-pressed", "true")
