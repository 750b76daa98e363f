"""Does what flows into every node flow out again?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.rig.harness import GROUND, harness
from parked_hvac.rig.truck import Truck
from tests.rig.trucks import cool, drive, truck

# Rounding of 12 V over milliohms is 1e-12; Newton stops at 1e-9 V, which over a 0.1 milliohm lug is 1e-5 A.
TOLERANCE_A = 2e-4


def imbalance_A(made: Truck) -> dict[str, float]:
    """Current that appears from nowhere at each node; the frame is left out, being the reference."""
    layout = harness()
    sums = {node: np.zeros(made.batch) for node in layout.nodes}
    for name, (a, b) in zip(layout.names, layout.ends, strict=True):
        current = made.current_A(name)
        sums[a] = sums[a] + current
        sums[b] = sums[b] - current
    for (plus, minus), current in made.now.load_A().items():
        sums[plus] = sums[plus] + current
        sums[minus] = sums[minus] - current
    return {node: float(np.abs(value).max()) for node, value in sums.items() if node != GROUND}


@pytest.mark.parametrize("use", [cool, drive])
@pytest.mark.parametrize(
    "fault",
    [
        "nothing_wrong",
        "lug_corroded_unit_ground",
        "lug_corroded_x0",
        "lug_corroded_x1",
        "t1_leg_dead",
        "k1_contact_burnt",
        "fuse_f11_blown",
    ],
)
def test_does_current_balance_at_every_node(use, fault):
    found = imbalance_A(use(truck(fault)))
    worst = max(found, key=lambda node: found[node])
    assert found[worst] < TOLERANCE_A, f"{worst}: {found[worst]} A"


def test_is_an_imbalance_seen_when_a_load_is_forgotten():
    made = cool(truck())
    made.now.voltages["M2.+"][:] -= 0.01
    assert max(imbalance_A(made).values()) > TOLERANCE_A


def test_does_a_meter_of_no_conductance_read_the_open_voltage():
    made = cool(truck())
    assert made.probe("G2+", "X0", conductance_S=0.0)[0] == pytest.approx(made.voltage_V("G2+")[0], abs=1e-9)


def test_does_a_meter_load_a_node_that_hangs_on_a_high_resistance():
    made = truck()
    made.part("X31")
    made.turn_blower(3)
    made.press_parked_cooling(True)
    made.advance(5.0)
    # 5 V behind 2490 ohm into 10 megohm drops 5 V * 2490 / 10 002 490 = 1.24 mV (voltage divider).
    drop = made.voltage_V("K0.B1", "K0.B0")[0] - made.probe("K0.B1", "K0.B0")[0]
    assert drop == pytest.approx(5.0 * 2490 / 10_002_490, rel=1e-3)


def test_does_the_probe_push_its_test_current_through_the_part():
    made = truck()
    made.part("X31")
    across = made.probe("B1.1", "B1.2", conductance_S=0.0, current_A=1e-4)[0]
    # 31 degC on the 5 kilohm curve: 3861 ohm, between 30 and 40 degC of tests/reference table B.
    assert across / 1e-4 == pytest.approx(3861, rel=0.01)
