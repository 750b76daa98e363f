"""The guided job of lesson 10: it runs two hours where eight were expected. Worn bank, or the budget of the night?"""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench

_BANK = ("G2+", "G2-")

GUIDE = (
    Prompt(
        hint="Prepare yourself: wheels chocked, eye protection, rings off. Take the lid off the auxiliary battery box. All off: DC volts, R on G2+, "
        "B on G2−, and write it down.",
        at=_BANK,
        question="What does a voltage at rest tell?",
        choices=("roughly how full the bank is", "how many hours it will last"),
        right=0,
        explanation="Charge, and nothing about age. A worn bank can be full of the little that it still holds.",
    ),
    Prompt(
        hint="Use the battery tester on G2.1, with all lugs on.",
        action="test_battery",
        question="All four are joined. Whose conductance is this?",
        choices=("that of G2.1", "that of the whole bank"),
        right=1,
        explanation="The tester sees all four. The spec sheet says what a sound bank shows when joined. One weak battery could still hide.",
    ),
    Prompt(
        hint="Now as the driver does it: key on, 16 °C, blower 5, parked cooling on. Wait five minutes. Clamp W14, at 'Unit, outside'.",
        action="clamp",
        question="At such a current a sound bank gives some 200 Ah. About how long is that?",
        choices=("about one hour", "about three hours", "about eight hours"),
        right=1,
        explanation="200 ÷ your reading is not quite three. Eight hours were never in it, with these settings and an open curtain.",
    ),
    Prompt(
        hint="While it runs: DC volts, R on G2+, B on G2−, written down a second time.",
        at=_BANK,
        readings=2,
        question="How far did the bank sag under this load?",
        choices=("about a quarter of a volt", "half a volt and more"),
        explanation="A sound bank of four sags about a quarter of a volt. A worn one sags two or three times as much, and meets the 11.4 V limit "
        "long before it is empty.",
    ),
    Prompt(
        hint="Last: switch off. Load tester on G2.1, written down.",
        action="load_test",
        question="Look at tester, sag and load tester together. Which sentence fits?",
        choices=(
            "all as a sound bank shows: the budget of the night explains two or three hours",
            "all weak: the bank is worn, and a worn bank gives a fraction of that",
        ),
        explanation="Name your cause. 'Nothing wrong' is a cause like the others. It needs the same proof, and a repair: explain to the driver what "
        "he asks for, in watts and hours.",
    ),
)


def promised_eight() -> Bench | Summary | Notice:
    """The bench with order 'promised-eight' and its guide."""
    return bench("promised-eight", guide=GUIDE)
