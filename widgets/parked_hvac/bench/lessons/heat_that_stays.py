"""The guided job of lesson 09: the heat does not get away, since the condenser fan stands. Why does it stand?"""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench

GUIDE = (
    Prompt(
        hint="Prepare yourself: wheels chocked, eye protection, rings off. Key on, 16 °C, blower 5, parked cooling on. Wait two minutes. "
        "Then go to 'Unit, outside' and look.",
        action="look",
        question="The condenser fan stands while cooling is asked for. Where does the heat of the bunk go now?",
        choices=("nowhere: it stays in the condenser, and the pressure climbs", "out through the evaporator"),
        right=0,
        explanation="The condenser must give the heat to the outside air. Without the fan it cannot.",
    ),
    Prompt(
        hint="Go to the cab and read the codes.",
        action="read_codes",
        question="The code says 'condensing pressure too high, unit stopped'. Does it name the bad part?",
        choices=("yes, too much refrigerant", "no: dirt, a dead fan or great heat all end in this code"),
        right=1,
        explanation="You saw the fan stand, so dirt alone is not it. A fan needs feed, ground and a command.",
    ),
    Prompt(
        hint="Parked cooling off, then take the lid off. Switch on again and wait a minute. Hands out of the unit: the fan may start. "
        "First reading, the feed: DC volts, R on M3.+, B on X22.",
        at=("M3.+", "X22"),
        question="Why to X22 and not to M3.−?",
        choices=("X22 is nearer", "against the bar a bad ground cannot hide the feed"),
        right=1,
        explanation="Feed to bar, ground to bar, command to bar: three readings, each about one wire.",
    ),
    Prompt(
        hint="Second reading, the ground: R on M3.−, B on X22.",
        at=("M3.-", "X22"),
        question="What should a sound ground show here?",
        choices=("12 V", "less than 0.1 V"),
        right=1,
        explanation="A ground that carries a running fan loses a few hundredths. One that floats is lifted by several volts.",
    ),
    Prompt(
        hint="Third reading, the command: R on M3.C, B on X22.",
        at=("M3.C", "X22"),
        question="Look at your three readings. Which sentence fits them?",
        choices=(
            "feed missing: fuse F12 or its wire",
            "ground lifted: pin 2 of X36 or its wire",
            "command missing: wire W65 or the controller",
        ),
        explanation="The one that is missing convicts its wire; the other two are cleared. Across F12 you tell fuse from wire, at K0.C "
        "wire from controller. Name your cause, switch off, repair it, and run it again for some minutes.",
    ),
)


def heat_that_stays() -> Bench | Summary | Notice:
    """The bench with order 'heat-that-stays' and its guide."""
    return bench("heat-that-stays", guide=GUIDE)
