"""The guided job of lesson 02: a bank that rests well, carries the load, and still holds one bad battery."""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench

_BANK = ("G2+", "G2-")

GUIDE = (
    Prompt(
        hint="Prepare yourself: wheels chocked, eye protection, rings off. Prove the meter. Go to the auxiliary bank, take its lid off, put R on "
        "G2+ and B on G2−, and write the reading down. Everything stays switched off.",
        at=_BANK,
        question="The bank has rested for ten hours. What does this voltage tell?",
        choices=(
            "how full the bank is, by the AGM curve",
            "that all four batteries are sound",
            "how long it will run the unit",
        ),
        right=0,
        explanation="Charge, and only charge. Four batteries joined at their posts show one voltage. A weak one hides among three good ones.",
    ),
    Prompt(
        hint="Now the load. Key on, temperature 16 °C, blower 5, parked cooling on. Let two minutes pass until the compressor runs, leave the leads "
        "where they are, and write the reading down.",
        at=_BANK,
        readings=2,
        question="The sheet asks for 11.9 V or more with the compressor running. What does your reading clear?",
        choices=(
            "the whole bank: it carries the load",
            "not much yet: three good batteries carry a bad one for a while",
        ),
        right=1,
        explanation="In spec, and the driver still wakes up in the heat. With one of four gone, the bank holds three quarters. You have to ask each "
        "battery by itself.",
    ),
    Prompt(
        hint="Switch parked cooling and key off. At the auxiliary bank, test the conductance of one battery, any of the four, with all lugs on.",
        action="test_battery",
        question="A sound battery of this size shows about 300 S. Yours shows far more. What did the tester test?",
        choices=("a very good battery", "all four at once, through posts and bars"),
        right=1,
        explanation="Its current takes every way there is. In this state the reading tells nothing about that one battery.",
    ),
    Prompt(
        hint="Take the negative lugs off G2.1, G2.2 and G2.3; then each of the four stands alone at its negative post. Test all four.",
        action="test_battery",
        readings=5,
        question="Four readings. What do they say?",
        choices=("all four are old", "one is far below the other three", "all four are good"),
        right=1,
        explanation="Three alike, one far below: that one is weak. At rest you would never have seen it. Put the lugs back, name the cause, "
        "replace the battery by one of the same kind and age, and run the unit again.",
    ),
)


def half_the_night() -> Bench | Summary | Notice:
    """The bench with order 'half-the-night' and its guide."""
    return bench("half-the-night", guide=GUIDE)
