"""The guided job of lesson 04: four readings in two modes, and what their pattern means."""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench

_BUS = ("X20", "X22")

GUIDE = (
    Prompt(
        hint="Prepare yourself: wheels chocked, eye protection, rings off. At 'Unit, opened' take the lid off while all is "
        "switched off. Then hands out: key on, parked cooling on, blower 3. Put R on X20 and B on X22, and write the reading down.",
        at=_BUS,
        question="Parked mode, cooling asked for. Which way does the bus X20 get its power now?",
        choices=("from G2 through F2 and K1", "from the start side through F3 and K2"),
        right=0,
        explanation="In parked mode K1 feeds the bus from the auxiliary bank. If the bus is dead now, the fault "
        "is in that feed, or in what switches K1.",
    ),
    Prompt(
        hint="Lead the exhaust out with the hose, let the engine run, leave the leads where they are, and write the reading down again.",
        at=_BUS,
        readings=2,
        question="Two readings of the same bus, two modes. What does the pair on your card say?",
        choices=(
            "dead parked, alive with the engine: the fault is in the parked feed",
            "alive parked, dead with the engine: the fault is in the engine feed",
            "dead in both: the fault is at the bus or behind it",
            "alive in both: both feeds are proved",
        ),
        right=0,
        explanation="On this truck the bus is dead only while parked. The engine mode has just proved the bus, its ground and everything "
        "behind: you need not look there.",
    ),
    Prompt(
        hint="Engine off, parked cooling asked for again. Third reading: R on K1.30, B on X22.",
        at=("K1.30", "X22"),
        question="What does a full voltage at K1.30 clear?",
        choices=("the relay K1", "the feed up to the relay: F2, its holder, W9, W11, X10"),
        right=1,
        explanation="The power stands at the relay's door. So F2 and the cables are whole, though not yet proved under load.",
    ),
    Prompt(
        hint="Fourth reading, across the coil: R on K1.86, B on K1.85.",
        at=("K1.86", "K1.85"),
        question="Look at your reading. Which sentence fits it?",
        choices=(
            "about 12 V: the coil is offered current and does not pull",
            "about 0 V: nothing arrives at the coil",
        ),
        explanation="With about 12 V across it and no click, the coil is open: the relay. With nothing across it, the control wire W36 or the "
        "panel that feeds it. Name your cause now, repair it, and run the unit again.",
    ),
)


def two_feeds() -> Bench | Summary | Notice:
    """The bench with order 'two-feeds' and its guide."""
    return bench("two-feeds", guide=GUIDE)
