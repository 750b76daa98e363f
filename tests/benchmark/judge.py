"""Print how fast the judge answers, beside nbgrader's own autograde of one submission where its seconds are given.

    python tests/benchmark/judge.py                          a 25-step attempt, one best next check, a class's attempts
    python tests/benchmark/judge.py --autograde-seconds 9.5  ratios beside that time (`nbgrader autograde` of one notebook)
    python tests/benchmark/judge.py --attempts 400           more of a class, and so less guessed of a thousand

The class is made up: each attempt has a truck of its own with a cause of its own, and the eight kinds of made-up learner
(`parked_hvac.assessment.simulated`) take turns. Nothing is kept from when they played; files are graded as handed in.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

REPOSITORY = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(REPOSITORY), str(REPOSITORY / "widgets")]

from parked_hvac.assessment.apart import answers  # noqa: E402  the path above comes first
from parked_hvac.assessment.case import best_for  # noqa: E402
from parked_hvac.assessment.simulated import LEARNERS  # noqa: E402
from parked_hvac.diagnosis import solution as solution_of  # noqa: E402
from parked_hvac.diagnosis import walk as walks  # noqa: E402
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
    """Grade so many attempts of a class, all on one order, and tell what a thousand take."""
    with TemporaryDirectory() as folder:
        files = [attempt(number, Path(folder)) for number in range(count)]
        walks._walks.clear()
        for kept in (outlook, best_for, solution_of.usual_way, solution_of._alike):
            kept.cache_clear()
        # As the class's grading does it: attempts that begin alike one after the other.
        requests = [
            {
                "exercises": [{"scorer": "job_points", "arguments": {"order": ORDER.id, "maximum": 100.0}}],
                "folder": str(file),
            }
            for file in files
        ]
        _, first = timed(lambda: list(answers(requests[: count // 2])))
        told, further = timed(lambda: list(answers(requests[count // 2 :])))
    replies = [one["replies"][0] for one in told if "replies" in one]
    assert all(reply["state"] == "scored" for reply in replies), replies
    each = [spent / (count - count // 2) for spent in further]
    tell(f"the first {count // 2} attempts of a class graded, nothing kept", first)
    tell("each further attempt", tuple(each))
    rest = 1000 - count // 2
    thousand = tuple(begun + rest * one for begun, one in zip(first, each, strict=True))
    tell(f"a thousand attempts, from {count}, in one process", thousand)
    # One process keeps both cores busy for a part of its time only; two can at best halve what the processor spends.
    tell("the same, as two processes share the work", (thousand[1] / 2, thousand[1]), 120.0)


def attempt(number: int, folder: Path) -> Path:
    """The folder of one made-up learner's attempt."""
    learner, place = f"V{number:04}", folder / f"{number:04}"
    place.mkdir()
    kinds = list(LEARNERS.values())
    played = kinds[number % len(kinds)](draw_ticket(ORDER, learner))
    made = start(ORDER.id, learner, place / f"{ORDER.id}.jsonl")
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
