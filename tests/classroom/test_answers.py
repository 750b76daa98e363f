"""Are the instructor's answers the judge's own figures, in words that lead to the cause?"""

from __future__ import annotations

import pytest

from parked_hvac.assessment.debrief_words import percent
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
        assert f"### {one.title}\n\n- {one.bits:.1f} bits, {one.found.minutes:.0f} minutes. Repair:" in page
        part = page.split(f"### {one.title}\n")[1].split("###")[0]
        # A page that shows no reading would teach no way; this one ends as sure as the judge is.
        table = [line for line in part.splitlines() if line.startswith("|")]
        assert len(table) == 2 + len(one.found.legs)
        assert table[-1].endswith(f"| {percent(one.found.certainty)} |")
        others = {other.title for other in found if other is not one}
        # The two causes of this order look alike until the relay's coil is measured: each is the other's wrong turn.
        # (To the coil's other end or to the ground bar shows the same, and either may be a little better by chance.)
        assert "- Gives it away: DC volts from K1.86 to " in part
        assert any(title in line for line in part.splitlines() if "Wrong turns" in line for title in others)
