"""The guided job of lesson 06: the controller stops the compressor, and is right to do so."""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench

_SUPPLY, _BANK = ("K0.+", "K0.-"), ("G2+", "G2-")
_FEED, _GROUND = ("G2+", "X20"), ("X22", "G2-")

GUIDE = (
    Prompt(
        hint="Chock the wheels, eye protection on, rings off, prove the meter. Key on, 16 °C, blower 5, ask for parked "
        "cooling. Wait three minutes, then read the codes.",
        action="read_codes",
        question="SPN 168, FMI 1. What does the controller tell you?",
        choices=("that it is broken", "that its supply was below normal", "that the compressor is seized"),
        right=1,
        explanation="SPN 168 is the battery potential, FMI 1 is 'below normal range'. K0 stopped the compressor by itself, to spare "
        "what it takes for an empty bank. Is the bank empty? That is the question.",
    ),
    Prompt(
        hint="Switch off, lids of unit and auxiliary bank off. Ask for cooling again with the blower at 0: K0 is awake, nothing runs. "
        "R on K0.+, B on K0.−, DC volts, hold 'min'. Now blower 5, wait two minutes, write the held minimum down.",
        at=_SUPPLY,
        question="The lowest voltage that K0 saw is on your card. Did it act rightly?",
        choices=("yes, it fell below 11.4 V", "no, it stayed above 11.4 V"),
        right=0,
        explanation="K0 did what the spec sheet says. A sag lasts seconds; without the hold you would have read the calm after it.",
    ),
    Prompt(
        hint="Blower to 0, so that K0 forgets and tries anew. R on G2+, B on G2−; the hold begins again there. Blower 5, wait "
        "two minutes, write it down.",
        at=_BANK,
        question="Same start, lowest voltage at the bank. What do the two minimums say together?",
        choices=(
            "the bank is weak",
            "the bank holds; the volts are lost between bank and controller",
            "the meter is wrong",
        ),
        right=1,
        explanation="The bank stays above 11.9 V. So the loss lies on the way: on the feed, or on the way back by ground.",
    ),
    Prompt(
        hint="The feed first. Blower to 0, R on G2+, B on X20, hold 'max'. Blower 5, wait a minute, write the maximum down.",
        at=_FEED,
        question="How much does the feed lose, from G2+ to bus X20?",
        choices=("half a volt or less", "more than half a volt"),
        explanation="Any fuse or bus should stand within 0.5 V of its bank. More than that, and the joint is on the feed; less, and "
        "the other half is left.",
    ),
    Prompt(
        hint="Now the way back. Blower to 0, R on X22, B on G2−, hold 'max'. Blower 5, wait a minute, write the maximum down.",
        at=_GROUND,
        question="Compare your last two readings. Where are the volts?",
        choices=("on the feed: fuse F2, relay K1 or a joint there", "on the ground side: a lug or a stud"),
        explanation="0.45 V is what the ground side may lose. Take the half that loses too much and go along it joint by joint, with "
        "the compressor running. Then conclude, repair, and see the compressor stay on.",
    ),
)


def stops_by_itself() -> Bench | Summary | Notice:
    """The bench with order 'stops-by-itself' and its guide."""
    return bench("stops-by-itself", guide=GUIDE)
