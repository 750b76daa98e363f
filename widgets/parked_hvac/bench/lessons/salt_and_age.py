"""The guided job of lesson 11: a fault is found, and it is not all."""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench

GUIDE = (
    Prompt(
        hint="Prepare: wheels chocked, eye protection, rings off. Prove the meter. Key on, 16 °C, blower 5, parked cooling on. Wait a "
        "minute, go to the bunk and feel.",
        action="feel",
        question="It blows strongly, whatever the compressor does. What does a strong blower clear?",
        choices=("the bank", "fuse F2, relays K1 and K3, the blower's own feed"),
        right=1,
        explanation="Power reaches the fan rail. Whether the bank holds up under the compressor, the blower does not tell.",
    ),
    Prompt(
        hint="Go to the cab and read the codes.",
        action="read_codes",
        question="SPN 168 FMI 1: supply voltage too low. Whose supply?",
        choices=("the bank's", "the controller's, wherever the volts were lost"),
        right=1,
        explanation="The controller sees what is left at its own pins. A weak bank, a bad feed and a bad ground all look alike to it.",
    ),
    Prompt(
        hint="Go to 'Unit, outside' and look. Then, blower still running: R on W14.2, B on X4. Write it down.",
        at=("W14.2", "X4"),
        question="A lug that carries its load may take 0.1 V. What does your reading say?",
        choices=("the ground lug is bad", "the ground lug is good"),
        right=0,
        explanation="Crust to the eye, and too many millivolts while only the blower runs. With the compressor it takes several times as "
        "much. One fault is proved.",
    ),
    Prompt(
        hint="Is that all of it? The banks are six years old. Switch off. Take the lid of the auxiliary bank off and test the "
        "conductance of all four batteries.",
        action="test_battery",
        readings=4,
        question="Can the corroded lug change these four readings?",
        choices=(
            "no: the tester clips to one battery's own posts",
            "yes: everything runs through the ground",
        ),
        right=0,
        explanation="So they can show what the lug leaves over. Compare the four with each other. One stands about a tenth "
        "or more below its neighbours: a second fault, which would have brought the truck back next week. Where two are close, "
        "take a battery's own negative lug off and test it alone.",
    ),
    Prompt(
        hint="Name the cause: pick the one, press 'Add a second cause …', pick the other. Repair both: switch off first. Then run it "
        "again for two minutes and feel at the bunk.",
        action="feel",
        readings=2,
        explanation="Cold again, and it stays. One finding, one more reading that this finding cannot change, then the name: that is the "
        "habit for the three orders below.",
    ),
)


def salt_and_age() -> Bench | Summary | Notice:
    """The bench with order 'salt-and-age' and its guide."""
    return bench("salt-and-age", guide=GUIDE)
