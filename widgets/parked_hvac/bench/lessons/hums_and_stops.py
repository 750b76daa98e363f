"""The guided job of lesson 08: the drive is asked, hums, and nothing turns. Drive or motor?"""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench

GUIDE = (
    Prompt(
        hint="Prepare yourself: wheels chocked, eye protection, rings off. Key on, 16 °C, blower 5, parked cooling on. Wait a "
        "minute, go to 'Unit, outside' and listen.",
        action="listen",
        question="It hums and jerks and does not turn. What has this sound cleared already?",
        choices=("feed, enable and command: the drive is trying", "the windings of the motor"),
        right=0,
        explanation="A drive that nobody asks is silent. This one pushes current into the motor. So controller and thermal switch S1 "
        "said yes. Left are the drive's legs and the motor.",
    ),
    Prompt(
        hint="Go to the cab and read the codes.",
        action="read_codes",
        question="The code says 'compressor does not turn'. Does it name the bad part?",
        choices=("yes, the compressor", "no, it names what the controller saw"),
        right=1,
        explanation="A code tells what was seen, not why. A dead leg, an open winding and a seized motor all end in this code.",
    ),
    Prompt(
        hint="Now make the drive dead. Parked cooling off, key off. Take the cover of the feed panel off and pull F1. Put the gloves "
        "on. Take the lid of the unit off and discharge the capacitors. Then prove it on DC volts: R on T1.+, B on T1.−, and write it down.",
        at=("T1.+", "T1.-"),
        question="F1 is out. Why do you still measure before you touch?",
        choices=("the capacitors hold their charge for an hour", "to prove the bank"),
        right=0,
        explanation="Below 2 V a hand may go in. Without the tool it takes more than an hour to get there.",
    ),
    Prompt(
        hint="Part plug X30. Ohms: R on M1.U, B on M1.V. Write it down.",
        at=("M1.U", "M1.V"),
        explanation="One pair alone tells little. Take all three, and compare.",
    ),
    Prompt(
        hint="The next pair: R on M1.V, B on M1.W.",
        at=("M1.V", "M1.W"),
        explanation="One more.",
    ),
    Prompt(
        hint="The last pair: R on M1.U, B on M1.W.",
        at=("M1.U", "M1.W"),
        question="Look at your three readings. Which sentence fits them?",
        choices=(
            "all three about 0.2 Ω: no winding is open",
            "one pair about 0.2 Ω, two pairs OL: a winding is open",
        ),
        explanation="Equal and low clears the windings. Two pairs OL convict the winding that both have in common. A pair that "
        "reads about 0.2 Ω clears both of its windings.",
    ),
    Prompt(
        hint="Now ask the drive without the motor. Leave X30 apart. Fit F1, key on, parked cooling on, wait a minute. Hands out of the "
        "unit: fans run. AC volts: R on T1.U, B on T1.−.",
        at=("T1.U", "T1.-"),
        question="The motor is unplugged. What can this reading still be blamed on?",
        choices=("only on the drive and what feeds and asks it", "on the motor as well"),
        right=0,
        explanation="With X30 apart no winding can lend its voltage to a dead leg, and no short can pull one down.",
    ),
    Prompt(
        hint="The same at the second leg: R on T1.V, B on T1.−.",
        at=("T1.V", "T1.-"),
        explanation="And the third.",
    ),
    Prompt(
        hint="The third leg: R on T1.W, B on T1.−.",
        at=("T1.W", "T1.-"),
        question="Three legs, three readings. Which sentence fits them?",
        choices=(
            "all three about 6 V: the drive is sound, so the fault is beyond X30",
            "two about 6 V, one 0 V: that leg of the drive is dead",
        ),
        explanation="Both halves are read now, the motor without the drive and the drive without the motor. Name your cause. Switch off, "
        "make the drive dead once more, seat X30, repair, and run it again.",
    ),
)


def hums_and_stops() -> Bench | Summary | Notice:
    """The bench with order 'hums-and-stops' and its guide."""
    return bench("hums-and-stops", guide=GUIDE)
