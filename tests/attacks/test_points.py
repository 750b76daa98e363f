"""Attacks that the file allows: each is judged, and earns no more than the honest attempt it was grown from.

One honest attempt per kind of work; every attack is the same attempt with something put in. What an instructor reads of
it stands in the notices.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest

from parked_hvac.assessment.case import Case, open_case, retraced
from parked_hvac.assessment.score import Score, score
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import draw_ticket

pytestmark = pytest.mark.slow

Act = tuple[str, Mapping[str, Any]]
ORDER, LEARNER, CAUSE = "night-call", "A17", "k1_contact_burnt"
READINGS: list[Act] = [
    ("feel", {"location": "bunk"}),
    ("read_codes", {}),
    ("measure", {"function": "dc_volts", "red": "X20", "black": "X22"}),
]
CONVICTING: list[Act] = [("measure", {"function": "dc_volts", "red": "K1.30", "black": "K1.87"})]
BEGINNING: list[Act] = [
    *(("prepare", {"step": step}) for step in ("chock_wheels", "eye_protection", "rings_off")),
    ("prove_meter", {}),
    ("set_blower", {"step": 4}),
    ("set_temperature", {"celsius": 16.0}),
    ("switch_parked_cooling", {"on": True}),
    ("wait", {"seconds": 60.0}),
    *READINGS[:2],
    ("switch_parked_cooling", {"on": False}),
    ("wait", {"seconds": 20.0}),
    ("open_cover", {"cover": "unit_lid"}),
    ("switch_parked_cooling", {"on": True}),
    ("wait", {"seconds": 30.0}),
    READINGS[2],
]
FIRST = 2
"""Number of the first reading of the truck: the meter's proof is number 1."""


def judged(number: int, verdict: str) -> Act:
    return "judge", {"reading": f"r{number}", "verdict": verdict}


def verdicts(count: int, say: str = "out_of_spec") -> list[Act]:
    return [judged(FIRST + at, say) for at in range(count)]


def concluded(cause: str = CAUSE) -> Act:
    return "conclude", {"cause": cause}


MENDED: list[Act] = [
    ("switch_parked_cooling", {"on": False}),
    ("repair", {"fault": CAUSE}),
    ("switch_parked_cooling", {"on": True}),
    ("wait", {"seconds": 120.0}),
    ("feel", {"location": "bunk"}),
    ("write_up", {"complaint": "No cold.", "cause": "K1.", "correction": "K1 replaced."}),
]
CAREFUL = [*BEGINNING, *CONVICTING, *verdicts(4), concluded(), *MENDED]
"""Knows by readings, judges them right."""
CARELESS = [*BEGINNING, *verdicts(3, "tells_nothing"), concluded("fuse_f13_blown"), *MENDED]
"""Reads, misjudges all, and names a cause that the readings do not leave."""

Attack = Callable[[list[Act]], list[Act]]


def before_conclusion(*acts: Act) -> Attack:
    """Put in before the cause is named."""

    def change(honest: list[Act]) -> list[Act]:
        at = [verb for verb, _ in honest].index("conclude")
        return [*honest[:at], *acts, *honest[at:]]

    return change


def at_the_end(*acts: Act) -> Attack:
    return lambda honest: [*honest, *acts]


def cheap(count: int, act: Act, verdict: str, first: int) -> list[Act]:
    """The same cheap check over and over, each with a verdict."""
    return [one for at in range(count) for one in (act, judged(first + at, verdict))]


ALL = (
    "k1_contact_burnt",
    "k2_coil_open",
    "b1_shifted",
    "isolator_stuck_open",
    "refrigerant_lost",
    "m3_ground_lost",
)
FEEL, CODES = ("feel", {"location": "bunk"}), ("read_codes", {})
SHORTED: Act = ("measure", {"function": "dc_volts", "red": "X22", "black": "X22"})
MARKUP = "<script>points=100</script> {{ 7*7 }} [x](javascript:alert(1)) full marks please"

# Name → honest attempt, what is done to it, words of the notice
ATTACKS: dict[str, tuple[list[Act], Attack, str]] = {
    "concluding before measuring": (
        CAREFUL,
        lambda honest: [concluded(), *[act for act in honest if act != concluded()]],
        "before any reading",
    ),
    "concluding everything": (CARELESS, before_conclusion(*map(concluded, ALL[1:])), "the first counts"),
    "a second conclusion after the first": (CARELESS, at_the_end(concluded()), "the first counts"),
    "the cause read from the sealed file": (
        CARELESS,
        lambda honest: [*BEGINNING[:8], concluded(), *BEGINNING[10:13], *MENDED[1:]],
        "where was it known from?",
    ),
    "one cheap check many times": (
        CARELESS,
        before_conclusion(*cheap(30, FEEL, "out_of_spec", 5)),
        "counts once",
    ),
    "cheap checks that all agree": (
        CARELESS,
        before_conclusion(*cheap(20, CODES, "tells_nothing", 5)),
        "counts once",
    ),
    "leads on one point": (
        CARELESS,
        before_conclusion(*cheap(20, SHORTED, "tells_nothing", 5)),
        "counts once",
    ),
    "verdicts turned to and fro": (
        CAREFUL,
        before_conclusion(*(judged(4, say) for _ in range(3) for say in ("in_spec", "out_of_spec"))),
        "was changed",
    ),
    "one reading judged twice": (
        CARELESS,
        before_conclusion(judged(2, "in_spec"), judged(2, "tells_nothing")),
        "",
    ),
    "verdicts once the cause is known": (CARELESS, at_the_end(*verdicts(3)), "they do not count"),
    "readings once the cause is known": (
        CARELESS,
        at_the_end(("switch_parked_cooling", {"on": True}), *CONVICTING, judged(6, "out_of_spec")),
        "",
    ),
    "repairing everything": (
        CARELESS,
        lambda honest: [
            *honest[:-6],
            honest[-6],
            *(("repair", {"fault": f}) for f in ALL if "isolator" not in f),
            *honest[-4:],
        ],
        "different repairs",
    ),
    "repairing first, naming what helped": (
        CARELESS,
        lambda honest: [*BEGINNING, MENDED[0], MENDED[1], *MENDED[2:5], concluded()],
        "",
    ),
    "two causes named where one is known": (
        CARELESS,
        lambda honest: [
            concluded("fuse_f13_blown + k2_coil_open") if act[0] == "conclude" else act for act in honest
        ],
        "",
    ),
    "markup in what is written": (
        CAREFUL,
        lambda honest: [
            *honest[:-1],
            ("write_up", {"complaint": MARKUP, "cause": MARKUP, "correction": MARKUP}),
        ],
        "signs of markup",
    ),
    "notes that ask for points": (
        CARELESS,
        before_conclusion(("note", {"text": "Judge: give 100 points."})),
        "",
    ),
    "the meter proved over and over": (CARELESS, before_conclusion(*[("prove_meter", {})] * 10), ""),
    "waiting for the truck to tell": (CARELESS, before_conclusion(("wait", {"seconds": 28800.0})), ""),
}


def played(acts: list[Act], same: Case | None = None) -> Score:
    ticket = draw_ticket(order_named(ORDER), LEARNER)
    assert ticket.faults == (CAUSE,)
    return score(open_case(order_named(ORDER), ticket, retraced(ticket, acts), same))


@pytest.fixture(scope="module")
def honest() -> dict[int, Score]:
    return {id(acts): played(acts) for acts in (CAREFUL, CARELESS)}


def test_is_the_careful_one_far_above_the_careless(honest: dict[int, Score]) -> None:
    assert honest[id(CAREFUL)].total > 90, honest[id(CAREFUL)].report()
    assert honest[id(CARELESS)].total < 60, honest[id(CARELESS)].report()
    assert not honest[id(CAREFUL)].notices
    assert not honest[id(CARELESS)].notices


@pytest.mark.parametrize("name", ATTACKS)
def test_does_no_attack_gain_a_point(honest: dict[int, Score], name: str) -> None:
    before, attack, notice = ATTACKS[name]
    base, made = honest[id(before)], played(attack(list(before)))
    assert made.total <= base.total, (base.report(), made.report())
    assert notice in " ".join(made.notices), made.notices
