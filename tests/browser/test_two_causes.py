"""Can two causes be named at the bench, and does each come up for its repair?"""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.desk import Desk

pytestmark = [pytest.mark.browser, pytest.mark.slow]

BATTERY, LUG = "Auxiliary bank: one battery weak", "Corroded ground lug of the unit on stud X4"


def test_a_second_cause_is_added_taken_back_and_named(desk: Desk) -> None:
    desk.write_notebook(
        "pair.ipynb", ["from parked_hvac.bench.lessons.salt_and_age import salt_and_age\nsalt_and_age()"]
    )
    visit = desk.open("pair.ipynb")
    visit.run_all()
    bench = visit.page.locator(".ph-frame").first
    go = bench.locator("[data-key=go]")

    bench.locator("[data-key=cause]").click()
    bench.locator("[data-cause=lug_corroded_unit_ground]").check()
    bench.locator("[data-key=second]").click()
    expect(bench.get_by_text("Now pick the second cause.")).to_be_visible()
    bench.locator("[data-cause=aux_battery_weak]").check()
    expect(go).to_have_text(f"Name it: {LUG} and {BATTERY}")
    bench.locator("[data-key=only]").click()
    expect(go).to_have_text(f"Name it: {BATTERY}")
    bench.locator("[data-key=second]").click()
    bench.locator("[data-cause=lug_corroded_unit_ground]").check()
    assert visit.accessibility_faults(".ph-frame") == []
    go.click()

    # Both stand on the card, and the first of them comes up for repair, alone.
    bench.locator("[data-key=repair]").click()
    expect(go).to_have_text(f"Repair it: {BATTERY}")
    bench.locator("[data-key=close]").click()
    bench.locator("[data-key=cause]").click()
    expect(bench.get_by_text(f"On the card: {BATTERY} and {LUG}.")).to_be_visible()
