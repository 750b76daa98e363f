"""The guided job of lesson 07: into the unit, a blown fuse, and the question that comes before a new one."""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench

GUIDE = (
    Prompt(
        hint="Chock the wheels, prove the meter. Key on, blower 4, ask for parked cooling, and feel the air in the bunk.",
        action="feel",
        question="No air at all. The lid costs 22 minutes. Do you take it off now?",
        choices=("yes, the blower is under it", "not before the data link was asked"),
        right=1,
        explanation="Half a minute at the socket may save the lid, or tell you where to look under it.",
    ),
    Prompt(
        hint="Read the live value 'cooling asked for'.",
        action="read_live",
        question="It says 1. What is proved, with the lid still on?",
        choices=(
            "the blower motor",
            "panel, knob, controller and its supply: the fans are asked for",
            "fuse F11",
        ),
        right=1,
        explanation="K0 is awake and wants the fans. So the fault lies between relay K3 and the motor, and all of that is under the "
        "lid. Now the 22 minutes are well spent.",
    ),
    Prompt(
        hint="Switch parked cooling and key off, then take the lid of the unit off. Look at 'Unit, opened' before you touch anything.",
        action="look",
        question="Read the line 'harness' of what you saw. Which is it?",
        choices=("whole", "chafed"),
        explanation="Eyes first. A wire that rubs on the frame is often found in the first minute. And if it looks whole, that is "
        "not yet a proof: the meter has the last word.",
    ),
    Prompt(
        hint="Hands and sleeves out. Key on, cooling on again with the lid off. R on F11.1, B on X22, write it down.",
        at=("F11.1", "X22"),
        question="About 12 V at the supply side of F11. What has just been proved?",
        choices=("relay K3, its coil and K0's output", "fuse F11", "the motor"),
        right=0,
        explanation="The fan rail is alive. What feeds F11 is sound.",
    ),
    Prompt(
        hint="Now R on F11.2, the load side, B stays on X22.",
        at=("F11.2", "X22"),
        question="Twelve volts on one side, nothing on the other. And now?",
        choices=("fit a new fuse and see", "ask first why the old one blew"),
        right=1,
        explanation="A fuse does not die of age. A new one into a short blows at once, or worse, a bigger one does not.",
    ),
    Prompt(
        hint="Cooling and key off. Pull F11. Ohms from F11.2 to X22: R on F11.2, B on X22.",
        at=("F11.2", "X22"),
        readings=2,
        question="What is behind the fuse?",
        choices=("less than an ohm to ground: a wire rubbed through", "OL: nothing touches ground"),
        explanation="With the unit off the blower is cut off by its knob, so a sound harness shows OL. Less than an ohm is the frame. "
        "Then mend and sleeve the harness before any fuse goes in.",
    ),
    Prompt(
        hint="Name your cause and repair it. Fit F11 again, put the lid back, key on, cooling on, and feel the air in the bunk.",
        action="feel",
        readings=2,
        question="Air again. What did you have to put back before you switched on?",
        choices=("nothing", "the fuse and the lid", "only the lid"),
        right=1,
        explanation="What you pulled, parted or opened goes back before power does. Count it on your card: pulled F11, lid off. Then "
        "fitted, on. Forgotten plugs are the second visit.",
    ),
)


def still_air() -> Bench | Summary | Notice:
    """The bench with order 'still-air' and its guide."""
    return bench("still-air", guide=GUIDE)
