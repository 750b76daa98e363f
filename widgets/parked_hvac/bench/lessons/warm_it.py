"""The guided job of lesson 05: the controller believes one temperature, the air has another."""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench

_BEAD = ("B2.1", "B2.2")

GUIDE = (
    Prompt(
        hint="Chock the wheels, prove the meter. Turn the key on, set 16 °C, blower 3, ask for parked cooling. "
        "Then read the live value 'bunk temperature' on the data link.",
        action="read_live",
        question="Whose temperature is this?",
        choices=("that of the air", "what the controller makes of the voltage at its input"),
        right=1,
        explanation="The controller knows only a voltage. It turns it into ohms and the ohms into degrees. If the sensor "
        "lies, so does this number.",
    ),
    Prompt(
        hint="Now touch 'bunk air' with the thermometer and write it down.",
        action="thermometer",
        question="The live value is several degrees colder than the thermometer. What will the controller do?",
        choices=("run the compressor harder", "cool too little, since it thinks the bunk is cool already"),
        right=1,
        explanation="It compares the set temperature with what it believes. A sensor that reads cold stops the cooling early. "
        "The controller does its work well, with a wrong number.",
    ),
    Prompt(
        hint="Read the stored codes.",
        action="read_codes",
        question="No code. Is the sensor cleared by that?",
        choices=(
            "yes, a bad sensor sets a code",
            "no, a code comes only far outside, below −40 or above 85 °C",
        ),
        right=1,
        explanation="A broken wire or a short sets a code. A sensor that lies by ten degrees sets none. Only a second "
        "thermometer finds it.",
    ),
    Prompt(
        hint="Unit off, key off. In the bunk part plug X32, then read ohms from B2.1 to B2.2. With the plug seated the "
        "controller would lie in parallel.",
        at=_BEAD,
        question="Look the ohms up in 'Resistance tables' (B1, B2). What do you find?",
        choices=(
            "fewer ohms than the air's temperature asks for",
            "more ohms than the air's temperature asks for",
        ),
        right=1,
        explanation="More ohms means colder. So the lie sits in the sensor or its connector, not in the controller and not in "
        "the wire behind X32.",
    ),
    Prompt(
        hint="Warm B2 between your fingers for 60 seconds and read the ohms again at once. The bead now has about 33 °C.",
        at=_BEAD,
        readings=2,
        question="Turn both readings into degrees by the table. How far did the table move?",
        choices=(
            "about as many degrees as the bead itself: it follows its curve, shifted",
            "clearly fewer: part of the ohms does not change with warmth",
        ),
        explanation="A shifted bead moves as the table says, only from a wrong place: replace the sensor. Ohms that stay put "
        "when the bead warms are in series with it: a corroded connector. Seat X32, name your cause, repair, and see the "
        "live value meet the thermometer.",
    ),
)


def warm_it() -> Bench | Summary | Notice:
    """The bench with order 'cool-enough' and its guide."""
    return bench("cool-enough", guide=GUIDE)
