"""Are the instructor's answers the judge's own figures, in words that lead to the cause?"""

from __future__ import annotations

import pytest

from parked_hvac.classroom.answers import Answer, answers_page
from parked_hvac.job.order import order_named

pytestmark = pytest.mark.slow


def test_does_the_page_of_an_order_tell_bits_minutes_and_the_way_to_each_cause() -> None:
    order = order_named("two-feeds")
    found: list[Answer] = []
    page = answers_page([order], found.append)
    assert [one.cause for one in found] == [" + ".join(group) for group in order.causes]
    for one in found:
        assert one.solved, one.cause
        assert one.bits > 3.0  # of the 6 and more that some hundred causes are worth
        assert f"**{one.title}**: {one.bits:.1f} bits, {one.found.minutes:.0f} minutes." in page
    # A page that shows no reading would teach no way.
    assert page.count("\n1. ") >= 2 * len(found)
