"""What comes out of hours, and of a meter on a circuit that is not dead; nobody has written it down."""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.instruments import meter
from parked_hvac.rig.kernel import compiled
from parked_hvac.rig.truck import Truck
from tests.rig.trucks import cool, side_by_side, truck, volts

HOUR_S = 3600.0


def test_does_surface_charge_look_like_full_and_bleed_off_over_hours():
    assert compiled.run  # imported for its speed
    made = truck(aux_charge=0.7, engine_off_h=24.0)
    rested_V = volts(made, "G2+", "G2-")
    made.set_key("engine")
    made.advance(1200.0)
    made.set_key("off")
    seen = [volts(made, "G2+", "G2-")]
    for hours in (1.0, 3.0, 8.0, 12.0):
        made.advance(hours * HOUR_S)
        seen.append(volts(made, "G2+", "G2-"))
    assert seen[0] > rested_V + 0.7  # 13 V and more: full to whoever asks no further
    assert np.all(np.diff(seen) < 0.0)
    # Twenty minutes have put in a few percent, which is 0.1 V; the rest was surface.
    assert seen[-1] == pytest.approx(rested_V + 0.1, abs=0.1)


def hours_until_cut_out(made: Truck) -> list[float]:
    """When each truck's controller stops for low voltage, at most 12 h."""
    stopped = np.full(made.batch, np.inf)

    def look(now: Truck) -> None:
        out = now.controller.cut_out & np.isinf(stopped)
        stopped[out] = now._load.states["time_s"][out] / HOUR_S

    cool(made, 0.0)
    for _ in range(12 * 60):
        made.advance(60.0)
        look(made)
    return [float(hours) for hours in stopped]


def test_does_an_aged_bank_or_one_weak_battery_shorten_the_night():
    assert compiled.run
    names = ["nothing_wrong", "aux_battery_weak", "aux_bank_sulphated", "aux_bank_discharged"]
    made = side_by_side(names, outside_C=38.0, bunk_C=38.0, occupants=2, curtains="open", sun_hour=14.0)
    ran = dict(zip(names, hours_until_cut_out(made), strict=True))
    assert 2.0 < ran["nothing_wrong"] < np.inf  # a hot afternoon at full cold with the curtain open
    for name in names[1:]:
        assert ran[name] < 0.85 * ran["nothing_wrong"], ran


def test_is_a_coil_misread_on_ohms_while_its_circuit_is_live():
    made = truck()
    dead = meter.read(made, "ohms", "K1.86", "K1.85")
    live = meter.read(cool(made, 30.0), "ohms", "K1.86", "K1.85")
    assert dead.values[0] == pytest.approx(float(made.parameters["relay.K1.coil_ohm"][0]), rel=0.02)
    assert live.display == ("OL",) or abs(live.values[0] - dead.values[0]) > 0.2 * dead.values[0]


def test_does_evaporator_temperature_tell_a_lost_charge_while_the_compressor_is_fed_as_ever():
    lost, part, sound = (
        cool(truck(fault), 600.0) for fault in ("refrigerant_lost", "refrigerant_part_lost", "nothing_wrong")
    )
    for made in (lost, part, sound):
        assert volts(made, "T1.+", "T1.-") > 12.0
    # Nothing boils, so the fins are as warm as the bunk; little boils, so they are between.
    assert lost.temperature_C("evaporator")[0] == pytest.approx(
        float(lost.temperature_C("bunk air")[0]), abs=0.5
    )
    assert (
        sound.temperature_C("bunk air")[0]
        < part.temperature_C("bunk air")[0]
        < lost.temperature_C("bunk air")[0]
    )
