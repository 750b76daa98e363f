"""The ways to checks that the judge's best paths and made-up learners go: possible on a truck, and safe."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from parked_hvac.assessment.retrace import retrace
from parked_hvac.diagnosis.checks import Check, checks
from parked_hvac.diagnosis.path import BEFORE
from parked_hvac.diagnosis.states import STATES, Stand
from parked_hvac.job.order import order_named
from parked_hvac.rig.faults import apply_fault
from parked_hvac.rig.parameters import nominal

ORDER = order_named("night-call")


def one_of(state: str) -> Check:
    """The first check of a state."""
    return next(check for check in checks() if check.state == state)


def each_after_each() -> list[Check]:
    """A check of each state before and after one of each other state."""
    found: list[Check] = []
    for state in STATES:
        for other in STATES:
            found += [one_of(state), one_of(other)]
    return found


def test_is_every_change_from_state_to_state_possible_and_safe() -> None:
    stand = Stand(prepared=frozenset({"chock_wheels"}))
    chosen = each_after_each()
    for check in chosen:
        stand = check.after(stand)
    traced = retrace(ORDER, nominal(), [*BEFORE, *stand.actions])
    assert len(traced.readings) == len(chosen)
    broken = {(line.verb, rule) for line in traced.lines for rule in line.breaches}
    assert broken == set()
    changes = {pair for pair in pairwise(check.state for check in chosen) if pair[0] != pair[1]}
    assert len(changes) == len(STATES) * (len(STATES) - 1)


@pytest.mark.parametrize("state", STATES)
def test_is_every_check_within_reach(state: str) -> None:
    """Covers off, plugs parted; each kind of way once."""
    ways = {(check.covers, check.plugs, check.warmed): check for check in checks() if check.state == state}
    stand = Stand(prepared=frozenset({"chock_wheels"}))
    for check in ways.values():
        stand = check.after(stand)
    traced = retrace(ORDER, nominal(), [*BEFORE, *stand.actions])
    assert len(traced.readings) == len(ways)
    assert not [line for line in traced.lines if line.breaches]


@pytest.mark.parametrize(("fault", "apart"), [("nothing_wrong", True), ("isolator_stuck_closed", False)])
def test_does_an_isolator_let_go_without_its_sense_lead(fault: str, apart: bool) -> None:
    """With the engine charging, a sound one opens; across one that is stuck there is next to nothing."""
    middle = np.array([0.5])
    truck = nominal()
    apply_fault(truck, fault, middle, middle)
    check = next(c for c in checks() if c.key == "sense fuse out: measure dc_volts Q1.1 Q1.2")
    stand = check.after(Stand(prepared=frozenset({"chock_wheels"})))
    shown = retrace(ORDER, truck, [*BEFORE, *stand.actions]).readings[-1].seen
    assert shown is not None
    # Half a volt: a charged bank stands further below a charging alternator than any joint drops.
    assert (shown.value > 0.5) is apart


@pytest.mark.parametrize(("fault", "falls"), [("b2_shifted", True), ("b2_connector_corroded", False)])
def test_does_a_warm_bead_tell_a_shift_from_a_resistance_in_series(fault: str, falls: bool) -> None:
    """A bead's resistance falls by the same share wherever its curve has shifted; what lies in series stays."""
    middle = np.array([0.5])
    truck = nominal()
    apply_fault(truck, fault, middle, middle)
    keys = ("apart: measure ohms B2.1 B2.2", "apart: measure ohms B2.1 B2.2 warmed")
    stand = Stand(prepared=frozenset({"chock_wheels"}))
    for key in keys:
        stand = next(check for check in checks() if check.key == key).after(stand)
    cold, warm = (line.seen for line in retrace(ORDER, truck, [*BEFORE, *stand.actions]).readings)
    assert cold is not None
    assert warm is not None
    sound = nominal()
    before, after = (line.seen for line in retrace(ORDER, sound, [*BEFORE, *stand.actions]).readings)
    assert before is not None
    assert after is not None
    # Two per cent: the curve is a little steeper where it is colder.
    share, same = warm.value / cold.value, after.value / before.value
    assert (abs(share - same) < 0.02) is falls
