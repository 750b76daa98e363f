"""Does a repair take back its own fault, in the draws that have it, and nothing else?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.job.mend import mended, renewed_batteries
from parked_hvac.rig.faults import Fault, draw_parameters, faults
from parked_hvac.rig.parameters import Parameters, draw, figure, names

DRAWS = 24


def table(parameters: Parameters) -> np.ndarray:
    return np.stack([parameters[name] for name in names()])


def figures_of(fault: Fault) -> set[str]:
    return {edit.parameter.replace("{pick}", part) for part in fault.pick or ("",) for edit in fault.edits}


def sound_limits() -> tuple[np.ndarray, np.ndarray]:
    """Lowest and highest value of every figure on a sound truck: 2.5 sigma, inside the figure's range."""
    low, high = [], []
    for name in names():
        own = figure(name)
        if own.absolute:
            ends = (own.value - 2.5 * own.spread, own.value + 2.5 * own.spread)
        else:
            ends = (own.value * np.exp(-2.5 * own.spread), own.value * np.exp(2.5 * own.spread))
        ends = (min(ends), max(ends))
        slack = 1e-9 * (1.0 + abs(own.value))
        low.append(max(ends[0], own.range[0]) - slack)
        high.append(min(ends[1], own.range[1]) + slack)
    return np.array(low)[:, None], np.array(high)[:, None]


LOW, HIGH = sound_limits()


def within_tolerance(parameters: Parameters) -> np.ndarray:
    """Draws (B,) whose figures all lie where a sound truck's do."""
    values = table(parameters)
    return ((values >= LOW) & (values <= HIGH)).all(axis=0)


@pytest.mark.parametrize("name", [name for name in faults() if faults()[name].edits])
def test_is_every_fault_cured_by_its_own_repair(name):
    faulted = draw_parameters([name], DRAWS, np.random.default_rng(11))
    assert not within_tolerance(faulted).any()
    assert within_tolerance(mended(faulted, faults()[name])).all()


@pytest.mark.parametrize("name", list(faults()))
def test_does_a_repair_leave_a_sound_truck_alone(name):
    sound = draw(DRAWS, np.random.default_rng(12))
    np.testing.assert_array_equal(table(mended(sound, faults()[name])), table(sound))


def test_does_a_repair_cure_no_other_fault_unless_they_are_the_same_to_the_part():
    """A fault may be cured by another's repair only where both change the same figures."""
    generator = np.random.default_rng(13)
    for name, fault in faults().items():
        if not fault.edits:
            continue
        faulted = draw_parameters([name], DRAWS, generator)
        for other, repair in faults().items():
            if other == name:
                continue
            figures = figures_of(fault)
            if within_tolerance(mended(faulted, repair)).any():
                assert figures <= figures_of(repair), (name, other)


def test_are_charged_batteries_those_whose_charge_was_wrong():
    assert renewed_batteries(faults()["aux_bank_discharged"]) == ("G2.1", "G2.2", "G2.3", "G2.4")
    assert renewed_batteries(faults()["aux_battery_weak"]) == ()
