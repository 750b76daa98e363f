"""Made-up learners who work an order in their own ways, to see whether the judge ranks them as a person would.

None is told more than a learner can know, except those who are lucky: they have the cause from somebody else. Whoever
weighs readings does so as the judge does, since what is tried here is the score, not their wits.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from parked_hvac.assessment.aftermath import mended_and_rerun
from parked_hvac.assessment.case import Case, best_for, cause_of, cut, open_case
from parked_hvac.assessment.retrace import Doing, Retrace
from parked_hvac.assessment.score import Score, score
from parked_hvac.assessment.verdicts import IN, NOTHING, OUT
from parked_hvac.diagnosis.checks import Check, checks
from parked_hvac.diagnosis.path import BEFORE, opening
from parked_hvac.diagnosis.states import Stand
from parked_hvac.job.attempt import truck_parameters
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import Ticket
from parked_hvac.rig.faults import faults, title_of

Act = tuple[str, Mapping[str, Any]]
Verdict = Callable[[Case, int], str]
"""What is said of the reading of an action, by its number."""

PROCEDURE = (
    "parked: look unit_outside",
    "parked: listen unit_outside",
    "parked: read_live supply_V",
    "parked: read_live cooling_asked",
    "parked: read_live evaporator_C",
    "parked: read_live bunk_C",
    "parked: read_live outside_C",
    "parked: read_live compressor_rpm",
    "parked: read_live fan_command_percent",
    "parked: thermometer outside air",
    "parked: clamp W7",
    "parked: measure dc_volts X11.1 X11.4",
    "parked: measure dc_volts X11.2 X11.4",
    "parked: measure dc_volts G2+ G2-",
    "parked: measure dc_volts G1+ G1-",
    "parked: measure dc_volts G2+ X3",
    "parked: measure dc_volts G2- W7.1",
    "parked: measure dc_volts W7.2 X0",
    "parked: measure dc_volts F1.1 F1.2",
    "parked: measure dc_volts K0.+ K0.-",
    "parked: measure dc_volts P1.+ P1.-",
    "parked: measure dc_volts P1.K P1.-",
    "parked: measure dc_volts X20 X22",
    "parked: measure dc_volts X22 X0",
    "parked: measure dc_volts F13.1 F13.2",
    "parked: measure dc_volts F14.1 F14.2",
    "parked: measure dc_volts K1.86 K1.85",
    "parked: measure dc_volts K1.30 K1.87",
    "parked: measure dc_volts K3.86 K3.85",
    "parked: measure dc_volts K3.30 K3.87",
    "parked: measure dc_volts K4.86 K4.85",
    "parked: measure dc_volts K4.30 K4.87",
    "parked: measure dc_volts T1.E T1.-",
    "parked: measure dc_volts T1.+ T1.-",
    "parked: measure dc_volts M3.+ M3.-",
    "parked: measure dc_volts M3.- X22",
    "parked: measure dc_volts M3.C M3.-",
    "parked: measure dc_volts M2.+ M2.-",
    "parked: thermometer suction line",
    "parked: thermometer liquid line",
    "off: measure dc_volts Q1.S X0",
    "off: measure dc_volts F7.1 F7.2",
    "off: measure dc_volts K1.30 K1.87",
    "off: measure dc_volts K4.30 K4.87",
    "off: measure dc_volts K3.30 K3.87",
    "off: load_test G2.1",
    "off: load_test G2.2",
    "off: load_test G2.3",
    "off: load_test G2.4",
    "off: load_test G1.1",
    "off: load_test G1.2",
    "off: load_test G1.3",
    "engine: listen engine_bay",
    "engine: read_live supply_V",
    "engine: measure dc_volts F6.1 F6.2",
    "engine: measure dc_volts K2.86 K2.85",
    "engine: measure dc_volts K2.30 K2.87",
    "engine: measure dc_volts X11.3 X11.4",
    "engine: measure dc_volts G1+ G1-",
    "engine: measure dc_volts G2+ G2-",
    "engine: measure dc_volts G1+ W2.1",
    "engine: measure dc_volts W2.2 X1",
    "engine: measure dc_volts G1- W1.1",
    "engine: measure dc_volts W1.2 X0",
    "engine: measure dc_volts Q1.S X0",
    "engine: measure dc_volts Q1.1 Q1.2",
    "engine: measure dc_volts Q1.G X0",
    "engine: measure dc_volts Q1.L X0",
    "engine: measure dc_volts H1.1 H1.2",
    "engine: clamp W1",
    "engine: clamp W6",
    "apart: measure ohms S1.1 S1.2",
    "apart: measure ohms B1.1 B1.2",
    "apart: measure ohms B2.1 B2.2",
    "apart: measure ohms B2.1 B2.2 warmed",
    "apart: measure ohms B3.1 B3.2",
    "apart: measure ohms B3.1 B3.2 warmed",
    "dead: measure ohms M1.U M1.V",
    "dead: measure ohms M1.V M1.W",
    "dead: measure ohms M1.U M1.W",
)
"""Checks that a cautious beginner ticks off on any truck, in this order. Invented for this course."""
EVERYTHING = 60
PROBES = 14
REPAIRS = 4
_BATTERY_LID: Act = ("open_cover", {"cover": "aux_bank_lid"})
_VERDICTS = (IN, OUT, NOTHING)


@dataclass(frozen=True)
class Played:
    """What a made-up learner did, and the score."""

    actions: tuple[Act, ...]
    score: Score


def expert(ticket: Ticket) -> Played:
    """Takes the best path, judges right, concludes by the evidence, repairs, proves."""
    return _finished(ticket, best_for(ticket).actions, _likeliest, _right)


def follower(ticket: Ticket) -> Played:
    """Ticks off a fixed procedure until one cause is certain, judges right."""
    acts = _through([*opening(), *_by_key(PROCEDURE)])
    trace = _doing(ticket).go_on(acts)
    case = open_case(trace.order, ticket, trace, until_certain=True)
    done = case.certain_at[0] if case.certain_at else len(acts)
    return _finished(ticket, acts[:done], _likeliest, _right, known=cut(case, done))


def measures_everything(ticket: Ticket) -> Played:
    """Takes every reading in reach while the unit runs, and calls what is not out of spec 'in spec'."""
    running = [check for check in checks() if check.state in ("parked", "engine")]
    chosen = np.random.default_rng(_seed(ticket)).permutation(len(running))[:EVERYTHING]
    picked = [
        running[at] for at in sorted(chosen.tolist(), key=lambda at: (running[at].state != "parked", at))
    ]
    return _finished(ticket, _through([*opening(), *picked]), _likeliest, _never_nothing)


def random_prober(ticket: Ticket) -> Played:
    """Opens everything and probes here and there, whatever the state; judges and concludes at random."""
    generator = np.random.default_rng(_seed(ticket))
    volts = [check for check in checks() if check.state == "off" and check.verb == "measure"]
    acts: list[Act] = [
        ("open_cover", {"cover": c})
        for c in ("feed_panel_cover", "aux_bank_lid", "start_bank_lid", "unit_lid")
    ]
    if generator.random() < 0.5:
        acts += [("set_blower", {"step": 5}), ("switch_parked_cooling", {"on": True})]
    acts += [("measure", volts[at].arguments) for at in generator.permutation(len(volts))[:PROBES]]
    named = str(generator.choice(list(faults())))
    said = generator.integers(0, 3, len(acts) + 1)
    return _finished(ticket, acts, lambda _: named, lambda _, n: _VERDICTS[said[n]], written=False)


def misreader(ticket: Ticket) -> Played:
    """Takes the best path but reads every second reading wrong, and so names the runner-up."""

    def verdict(case: Case, n: int) -> str:
        right = _right(case, n)
        return right if n % 2 else (OUT if right == IN else IN)

    return _finished(ticket, best_for(ticket).actions, _runner_up, verdict)


def unsafe_expert(ticket: Ticket) -> Played:
    """The expert without any preparation: opens a battery box with rings on, runs the engine indoors."""
    path = [act for act in best_for(ticket).actions if act[0] != "prepare" and act != _BATTERY_LID]
    return _finished(ticket, [_BATTERY_LID, *path], _likeliest, _right, careful=False)


def lucky_guesser(ticket: Ticket) -> Played:
    """Names the cause at once, because a friend told; repairs it, proves it and writes it up."""
    return _finished(ticket, (), lambda case: case.cause, _right)


def parts_changer(ticket: Ticket) -> Played:
    """Feels that it is warm and changes parts until it is cold, the guilty one last; then names it."""
    cause = cause_of(ticket)
    others = [name for name in faults() if name not in ticket.faults and name != "nothing_wrong"]
    tried = np.random.default_rng(_seed(ticket)).permutation(others)[: REPAIRS - 1].tolist()
    acts: list[Act] = [*_through(opening()[:1])[len(BEFORE) :]]
    for name in (*tried, cause):
        acts += mended_and_rerun(name, acts, careful=False)
    acts.append(("conclude", {"cause": cause}))
    return Played(tuple(acts), score(_opened(ticket, _doing(ticket).go_on(acts))))


LEARNERS: dict[str, Callable[[Ticket], Played]] = {
    "best-path expert": expert,
    "fixed-procedure follower": follower,
    "measures everything": measures_everything,
    "misreader": misreader,
    "random prober": random_prober,
    "unsafe expert": unsafe_expert,
    "parts changer": parts_changer,
    "lucky guesser": lucky_guesser,
}


def _finished(
    ticket: Ticket,
    acts: Sequence[Act],
    named: Callable[[Case], str],
    verdict: Verdict,
    careful: bool = True,
    written: bool = True,
    known: Case | None = None,
) -> Played:
    """Verdicts, conclusion, repair, proof and write-up after a diagnosis, whose case may be ``known``."""
    doing = _doing(ticket)
    trace = doing.go_on(acts)
    case = _opened(ticket, trace) if known is None else known
    done = list(acts)
    done += [
        ("judge", {"reading": str(line.reading), "verdict": verdict(case, line.n)})
        for line in case.trace.readings
    ]
    cause = named(case)
    done.append(("conclude", {"cause": cause}))
    done += mended_and_rerun(cause, done, careful)
    if written:
        words = {"complaint": "No cold.", "cause": title_of(cause), "correction": "Repaired; runs."}
        done.append(("write_up", words))
    return Played(tuple(done), score(_opened(ticket, doing.go_on(done[len(acts) :]), case)))


def _doing(ticket: Ticket) -> Doing:
    return Doing(order_named(ticket.order), truck_parameters(ticket))


def _opened(ticket: Ticket, trace: Retrace, same: Case | None = None) -> Case:
    return open_case(order_named(ticket.order), ticket, trace, same)


def _through(taken: Sequence[Check]) -> list[Act]:
    """Chocks, meter proved, then the checks with the safe way to each."""
    stand = Stand(prepared=frozenset({"chock_wheels"}))
    for check in taken:
        stand = check.after(stand)
    return [*BEFORE, *stand.actions]


def _by_key(keys: Sequence[str]) -> list[Check]:
    known = {check.key: check for check in checks()}
    return [known[key] for key in keys]


def _likeliest(case: Case) -> str:
    return case.analysis.ranked(1)[0][0]


def _runner_up(case: Case) -> str:
    return next(name for name, _ in case.analysis.ranked(20) if name not in case.alike)


def _right(case: Case, n: int) -> str:
    return case.deserved(_line(case, n)).best


def _never_nothing(case: Case, n: int) -> str:
    share = case.deserved(_line(case, n)).share
    return IN if share[IN] >= share[OUT] else OUT


def _line(case: Case, n: int) -> Any:
    return case.trace.lines[n - 1]


def _seed(ticket: Ticket) -> int:
    """The same for all learners of an order, so that they share predictions; the trucks differ."""
    return sum(map(ord, ticket.order))
