"""The guided job of lesson 01: operate it, read codes, measure two temperatures, and only then decide."""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench

GUIDE = (
    Prompt(
        hint="Read the order (button at the top), history too. Chock the wheels, put eye protection on, take rings off. Then, with "
        "everything still off, go to the cab, look, and read the codes.",
        action="read_codes",
        question="The reader shows 'no answer'. What does that tell you?",
        choices=(
            "the controller is dead",
            "nothing yet: it has no power in this state",
            "there are no codes",
        ),
        right=1,
        explanation="The controller sleeps while key and unit are off. In this state the reading tells nothing. Give it that verdict "
        "on the card.",
    ),
    Prompt(
        hint="Now operate the unit as the driver does: key on, temperature 16 °C, blower 5, parked cooling on. Let a minute pass. "
        "Then go to the bunk and feel.",
        action="feel",
        question="Look at your card. What does your hand say?",
        choices=(
            "nothing blows: start at the power",
            "it blows, but not cold",
            "it blows strong and cold: both halves of the unit work",
        ),
        right=2,
        explanation="Air and cold at the vent: blower, compressor, drive and refrigerant all do something. That one touch cleared most of "
        "the truck. What is left: does it do enough?",
    ),
    Prompt(
        hint="Back to the cab. Read the codes again, now that the controller is awake.",
        action="read_codes",
        readings=2,
        question="'No codes'. What is cleared by that?",
        choices=(
            "every part of the unit",
            "what the controller can notice: its sensors, its supply, a drive that does not turn",
        ),
        right=1,
        explanation="A controller notices a wire that is broken or shorted. It does not notice dirt, an open curtain, or a driver's hope.",
    ),
    Prompt(
        hint="Let time pass until ten minutes have gone since the start. Then, in the bunk, take the thermometer: bunk air, and vent air.",
        action="thermometer",
        readings=2,
        question="How far is the vent below the bunk, ten minutes after the start? The spec sheet asks for 10 °C or more.",
        choices=("less than 10 °C: it cools too little", "10 °C or more: it cools as it should"),
        right=1,
        explanation="The unit keeps what the sheet promises. And still the bunk stays far from 18 °C.",
    ),
    Prompt(
        hint="Go to 'Unit, outside' and look. The condenser is the outer cooler; its fan stands behind it.",
        action="look",
        readings=2,
        question="Fan fast, face clean, codes none, cold as promised. Read the history again: what is it?",
        choices=(
            "a hidden fault in the compressor",
            "a limit: a hot day and an open curtain",
            "too little refrigerant",
        ),
        right=1,
        explanation="All that you saw fits a limit. But 'nothing wrong' is a big word: what you did not look at may still be bad. Three more looks, "
        "and no cover.",
    ),
    Prompt(
        hint="You stand at the unit's plug X10, and the unit runs. Power under load: R on X11.1, B on X11.4.",
        at=("X11.1", "X11.4"),
        question="More than 12 V while the compressor pulls its current. What does that clear?",
        choices=("the bank, the big fuse F1 and the way to the unit and back", "the compressor's windings"),
        right=0,
        explanation="One reading at the far end of a feed, under load, clears all that lies before it.",
    ),
    Prompt(
        hint="Back to the cab. Read two live values: bunk temperature and evaporator temperature.",
        action="read_live",
        readings=2,
        question="The bunk sensor agrees with your thermometer within a degree or so. What does that clear?",
        choices=("the sensor B2: the controller knows how warm the bunk is", "the refrigerant"),
        right=0,
        explanation="A sensor that lies a little stores no code. It only makes the controller stop too early. This one tells the truth.",
    ),
    Prompt(
        hint="Now the other mode. Parked cooling off, hose on the exhaust, engine on, two minutes. Look in the cab, then at 'Unit, outside' put R on "
        "X11.3, B on X11.4.",
        at=("X11.3", "X11.4"),
        question="The isolator lamp is lit, and about 13 V stand at the engine's feed. What is cleared?",
        choices=("the lamp", "alternator, isolator and engine feed: the other half of the truck"),
        right=1,
        explanation="Now little is left that could be wrong. Name 'Nothing wrong' as your cause, tell the driver about the curtain and what the "
        "unit can do, and write down the two temperatures. They are your proof.",
    ),
)


def hot_afternoon() -> Bench | Summary | Notice:
    """The bench with order 'hot-afternoon' and its guide."""
    return bench("hot-afternoon", guide=GUIDE)
