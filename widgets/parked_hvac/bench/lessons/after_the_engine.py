"""The guided job of lesson 03: a bank that is never charged, and the thin lead that is to blame."""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench

GUIDE = (
    Prompt(
        hint="Prepare yourself: wheels chocked, eye protection, rings off. At the auxiliary bank take the lid off. R on G2+, B on G2−, everything "
        "off; write the reading down.",
        at=("G2+", "G2-"),
        question="The truck came from a day's drive and rested eight hours. What does the reading say?",
        choices=(
            "full, as after every drive",
            "half empty: it was not charged on the way",
            "the bank is worn out",
        ),
        right=1,
        explanation="Half empty after a day on the road. So either no charge is made, or it does not get there. A worn bank would still have its "
        "voltage at rest.",
    ),
    Prompt(
        hint="Put the hose on the exhaust, let the engine run, and let two minutes pass. At the feed panel take the cover off. R on X1, B on X0.",
        at=("X1", "X0"),
        question="X1 is the start side. What does its voltage clear?",
        choices=("the alternator: it charges the start side", "the isolator", "bank G2"),
        right=0,
        explanation="Between 13.4 V and 14.4 V: the alternator does its work. The charge is made. It does not arrive.",
    ),
    Prompt(
        hint="Leave the engine running. R on X1, B on X3: the difference between the two banks in one reading.",
        at=("X1", "X3"),
        question="The sheet allows 0.5 V. What does your reading say?",
        choices=("the banks are joined", "the banks are not joined: isolator, its leads, or a cable between"),
        right=1,
        explanation="One reading between two points beats two against the frame: the meter's own error drops out.",
    ),
    Prompt(
        hint="Still at the feed panel: listen to the isolator.",
        action="listen",
        question="Contacts 'at rest', engine running for minutes. Which sentence fits?",
        choices=(
            "Q1 does not even try: look at what tells it to close",
            "Q1 pulls in, but its contacts are burnt",
        ),
        right=0,
        explanation="A contactor that does not pull in has no coil current, or no reason. Its reason comes by the thin sense lead.",
    ),
    Prompt(
        hint="R on Q1.S, B on X0: does the isolator know that the engine charges?",
        at=("Q1.S", "X0"),
        question="The sheet wants Q1.S within 0.5 V of the start bank. What do you find?",
        choices=("the sense voltage is there", "no sense voltage: Q1 believes that nothing is charged"),
        right=1,
        explanation="No voltage at Q1.S. What feeds it: X1, a short cable, fuse F7, lead W20. Two parts can be open. One more reading tells which.",
    ),
    Prompt(
        hint="Last reading, across the fuse: R on F7.1, B on F7.2.",
        at=("F7.1", "F7.2"),
        question="Look at your reading. Which sentence fits it?",
        choices=(
            "about 14 V across the fuse: F7 is open",
            "about 0 V across the fuse: F7 is whole, lead W20 behind it is open",
        ),
        explanation="Full voltage across a fuse: it is open. None: it passes on what it gets, and the break lies behind it. Stop the engine, name your "
        "cause, repair it. The bank has to be charged, too. Then run the engine and read X1 to X3 again.",
    ),
)


def after_the_engine() -> Bench | Summary | Notice:
    """The bench with order 'after-the-engine' and its guide."""
    return bench("after-the-engine", guide=GUIDE)
