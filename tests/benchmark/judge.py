"""Print how fast the judge answers, beside nbgrader's own autograde of one submission where its seconds are given.

    python tests/benchmark/judge.py                          a 25-step attempt, one best next check, a class's attempts
    python tests/benchmark/judge.py --autograde-seconds 9.5  ratios beside that time (`nbgrader autograde` of one notebook)
    python tests/benchmark/judge.py --attempts 1000          a whole thousand, and nothing guessed; a quarter of an hour

The class is made up: each attempt has a truck of its own with a cause of its own, and the eight kinds of made-up learner
(`parked_hvac.assessment.simulated`) take turns. Nothing is kept from when they played; files are graded as handed in.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

REPOSITORY = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(REPOSITORY), str(REPOSITORY / "widgets")]

from parked_hvac.assessment.simulated import LEARNERS  # noqa: E402  the path above comes first
from parked_hvac.classroom.clean import Limits, Work, score_together  # noqa: E402
from parked_hvac.classroom.exercises import Exercise  # noqa: E402
from parked_hvac.diagnosis.analysis import analyse  # noqa: E402
from parked_hvac.diagnosis.cast import cast_of  # noqa: E402
from parked_hvac.diagnosis.outlook import Answers, outlook  # noqa: E402
from parked_hvac.diagnosis.path import Knowledge, Search, next_checks  # noqa: E402
from parked_hvac.diagnosis.posterior import no_evidence  # noqa: E402
from parked_hvac.diagnosis.prediction import Observed  # noqa: E402
from parked_hvac.diagnosis.predictions import Step, observed  # noqa: E402
from parked_hvac.diagnosis.walk import DRAWS, Walk  # noqa: E402
from parked_hvac.job.attempt import start  # noqa: E402
from parked_hvac.job.order import order_named  # noqa: E402
from parked_hvac.job.seal import draw_ticket  # noqa: E402
from parked_hvac.job.session import Session  # noqa: E402
from parked_hvac.rig.faults import draw_parameters  # noqa: E402

ORDER = order_named("night-call")
JOB = Exercise("job", 100.0, "job_points", (("order", ORDER.id), ("maximum", 100.0)))
FEED = {"function": "dc_volts", "red": "X20", "black": "X22"}
CONTACT = {"function": "dc_volts", "red": "K1.30", "black": "K1.87"}
ACTIONS: tuple[tuple[str, dict[str, object]], ...] = (
    ("prepare", {"step": "chock_wheels"}),
    ("prepare", {"step": "eye_protection"}),
    ("prepare", {"step": "rings_off"}),
    ("prove_meter", {}),
    ("switch_key", {"position": "on"}),
    ("switch_parked_cooling", {"on": True}),
    ("set_blower", {"step": 4}),
    ("set_temperature", {"celsius": 16.0}),
    ("wait", {"seconds": 60.0}),
    ("feel", {"location": "bunk"}),
    ("look", {"location": "bunk"}),
    ("listen", {"location": "bunk"}),
    ("read_codes", {}),
    ("read_live", {"value": "supply_V"}),
    ("thermometer", {"point": "bunk air"}),
    ("set_blower", {"step": 0}),
    ("wait", {"seconds": 10.0}),
    ("open_cover", {"cover": "unit_lid"}),
    ("set_blower", {"step": 4}),
    ("wait", {"seconds": 20.0}),
    ("measure", FEED),
    ("measure", CONTACT),
    ("measure", {"function": "dc_volts", "red": "X22", "black": "X0"}),
    ("measure", {"function": "dc_volts", "red": "M2.+", "black": "M2.-"}),
    ("measure", {"function": "dc_volts", "red": "M3.+", "black": "M3.-"}),
)
STEPS = [Step(n, verb, arguments) for n, (verb, arguments) in enumerate(ACTIONS, 1)]


def main() -> None:
    """Measure and print one table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--attempts", type=int, default=96, metavar="N", help="made-up attempts (96)")
    parser.add_argument(
        "--autograde-seconds", type=float, metavar="S", help="nbgrader's time for one submission"
    )
    chosen = parser.parse_args()
    # Machine code is loaded before anything is timed; `bench.py` tells what a fresh Python costs.
    Walk(ORDER, cast_of(ORDER, 2)).foretell(STEPS)
    cast = cast_of(ORDER, DRAWS)
    cast.trucks()
    head = f"{'':64} {'wall s':>9} {'CPU s':>9} {'limit s':>9}"
    print(head + ("   of autograde" if chosen.autograde_seconds else ""))

    def tell(name: str, spent: tuple[float, float], limit_s: float | None = None) -> None:
        ratio = f"   {spent[0] / chosen.autograde_seconds:.3f}" if chosen.autograde_seconds else ""
        limit = "" if limit_s is None else f"{limit_s:g}"
        print(f"{name:64} {spent[0]:9.3f} {spent[1]:9.3f} {limit:>9}{ratio}", flush=True)

    tell(
        f"analysis: {len(STEPS)} steps, {len(cast.among)} causes, {DRAWS} trucks each, nothing kept",
        best(analysis),
        2.0,
    )
    tell("all checks of the list foretold, once for an order", timed(lambda: outlook(ORDER))[1])
    foretold = outlook(ORDER)
    search = Search(foretold, Answers(ORDER, truck("k1_contact_burnt", 1)))
    known = Knowledge(foretold.cast.unread, no_evidence(foretold.cast.prior))
    tell("best next check, nothing read yet", best(lambda: next_checks(foretold, known)), 0.3)
    tell("best next check, after the opening", best(search.one_more), 0.3)
    graded(chosen.attempts, tell)


def graded(count: int, tell: Callable[..., None]) -> None:
    """Grade so many attempts of a class, all on one order, as the class's command does, and tell what a thousand take."""
    with TemporaryDirectory() as folder:
        works = [work(attempt(number, Path(folder)), number) for number in range(count)]
        few, all_of_them = (by_two_processes(some) for some in (works[: count // 2], works))
    each = [(more - less) / (count - count // 2) for less, more in zip(few, all_of_them, strict=True)]
    tell(f"{count // 2} attempts of a class graded by two processes, nothing kept", few)
    tell(f"{count} attempts", all_of_them)
    rest = 1000 - count
    thousand = tuple(spent + rest * one for spent, one in zip(all_of_them, each, strict=True))
    tell(
        "a thousand" if not rest else f"a thousand, as {count} and the rest like the last of them",
        thousand,
        120.0,
    )


def by_two_processes(works: list[Work]) -> tuple[float, float]:
    """Wall and CPU seconds to grade these submissions."""
    states: list[str] = []
    wall, before = time.perf_counter(), os.times()
    score_together(works, Limits(), 2, lambda _, marks: states.append(marks[0].state))
    after = os.times()
    assert states == ["scored"] * len(works), states
    cpu = after.children_user - before.children_user + after.children_system - before.children_system
    return time.perf_counter() - wall, cpu


def work(folder: Path, number: int) -> Work:
    """A submission of the order's job alone, debrief and all."""
    return Work([JOB], folder, learner(number), None)


def learner(number: int) -> str:
    """Name of a made-up learner."""
    return f"V{number:04}"


def attempt(number: int, folder: Path) -> Path:
    """The folder of one made-up learner's attempt."""
    place = folder / f"{number:04}"
    place.mkdir()
    kinds = list(LEARNERS.values())
    played = kinds[number % len(kinds)](draw_ticket(ORDER, learner(number)))
    made = start(ORDER.id, learner(number), place / f"{ORDER.id}.jsonl")
    for verb, arguments in played.actions:
        made.do(verb, **arguments)
    return place


def analysis() -> None:
    """The whole analysis of an attempt on an order nobody has judged yet."""
    made = analyse(Walk(ORDER, cast_of(ORDER, DRAWS)), STEPS, shown(truck("k1_contact_burnt", 7)))
    assert len(made.learned) == 12


def truck(cause: str, seed: int):  # type: ignore[no-untyped-def]
    """A learner's truck with that cause."""
    return draw_parameters((cause,), 1, np.random.default_rng(seed))


def shown(own) -> dict[int, Observed]:  # type: ignore[no-untyped-def]
    """What a truck shows at each reading, as the replay of an attempt finds it."""
    session = Session(ORDER, own, context=False)
    found = {}
    for step in STEPS:
        event = session.apply(step.verb, step.arguments)
        if event.reading is not None:
            found[step.n] = observed(event.reading)
    return found


def timed(work: Callable[[], object]) -> tuple[object, tuple[float, float]]:
    """What the work gave, and its wall and CPU seconds."""
    wall, cpu = time.perf_counter(), time.process_time()
    made = work()
    return made, (time.perf_counter() - wall, time.process_time() - cpu)


def best(work: Callable[[], object]) -> tuple[float, float]:
    """Wall and CPU seconds, the best of three, as other work on the machine only ever adds."""
    return min(timed(work)[1] for _ in range(3))


if __name__ == "__main__":
    main()
