"""Do controller and isolator keep the delays and limits that the spec sheet gives them, and tell what they do not believe?

The figures are the truck's own (data/rig), not published ones. A delay ends a step of its own, and where something
switches a step ends within two milliseconds of it; so a hundredth of a second is enough for every delay.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from parked_hvac.rig.truck import Truck
from tests.rig.trucks import cool, drive, truck

NEAR_S = 0.01


@dataclass(frozen=True)
class Moment:
    """One truck at the end of a step."""

    time_s: float
    supply_V: float
    cooling: bool
    rpm: float
    condensing_C: float
    fins_C: float
    isolator: bool
    sense_V: float


def followed(made: Truck, seconds: float) -> list[Moment]:
    seen: list[Moment] = []

    def look(now: Truck) -> None:
        seen.append(
            Moment(
                float(now.time_s),
                float(now.voltage_V("K0.+", "K0.-")[0]),
                bool(now.controller.cooling[0]),
                float(now.compressor.rpm[0]),
                float(now.climate.condensing_C[0]),
                float(now.controller.temperature_C["B1"][0]),
                bool(now.isolator.closed[0]),
                float(now.voltage_V("Q1.S", "Q1.G")[0]),
            )
        )

    made.advance(seconds, watch=look)
    return seen


def figure(made: Truck, name: str) -> float:
    return float(made.parameters[name][0])


def turns(seen: list[Moment], to: bool) -> list[int]:
    """Places at which cooling begins or ends."""
    return [i for i in range(1, len(seen)) if seen[i].cooling is to and seen[i - 1].cooling is not to]


def test_does_it_boot_before_it_asks_for_anything():
    made = cool(truck(), 0.0)
    begun_s = float(made.time_s)
    first = next(one for one in followed(made, 10.0) if one.cooling)
    assert first.time_s - begun_s == pytest.approx(figure(made, "controller.boot_s"), abs=NEAR_S)


def test_does_it_stop_when_its_supply_was_low_for_the_delay_and_not_before():
    made = cool(truck("lug_corroded_unit_ground", severity=0.8), 0.0)
    seen = followed(made, 60.0)
    limit_V, stop = figure(made, "controller.cut_out_V"), turns(seen, to=False)[0]
    low = stop - 1
    while seen[low - 1].supply_V < limit_V:
        low -= 1
    assert seen[low - 1].supply_V >= limit_V > seen[low].supply_V
    # It fell below somewhere within the step that ends at `low`; that step ended where something switched.
    assert seen[low - 1].time_s <= seen[stop].time_s - figure(made, "controller.cut_out_delay_s") + NEAR_S
    assert seen[low].time_s >= seen[stop].time_s - figure(made, "controller.cut_out_delay_s") - NEAR_S
    assert (168, 1, 1) in made.codes()[0]


def test_does_it_start_again_after_the_pause_and_lock_after_four_stops_until_it_is_switched_off():
    made = cool(truck("lug_corroded_unit_ground", severity=0.8), 0.0)
    seen = followed(made, 900.0)
    stops, starts = turns(seen, to=False), turns(seen, to=True)
    assert len(stops) == figure(made, "controller.lockout_starts") == 4
    for stop, start in zip(stops, starts[1:], strict=False):
        pause_s = seen[start].time_s - seen[stop].time_s
        assert pause_s == pytest.approx(figure(made, "controller.restart_delay_s"), abs=0.5)
        assert all(one.supply_V > figure(made, "controller.restart_V") for one in seen[stop + 1 : start])
        # The compressor runs for seconds, not for minutes.
        assert 4.0 < seen[next(s for s in stops if s > start)].time_s - seen[start].time_s < 30.0
    assert seen[-1].time_s - seen[stops[-1]].time_s > 300.0  # and its supply has long been good
    assert seen[-1].supply_V > figure(made, "controller.restart_V")
    made.press_parked_cooling(False)
    made.advance(1.0)
    assert any(one.cooling for one in followed(cool(made, 0.0), 10.0))


@pytest.mark.parametrize(
    ("fault", "sensor", "taken_C", "code"),
    [
        ("b1_open", "B1", 3.0, (520193, 3)),
        ("b1_shorted", "B1", 3.0, (520193, 4)),
        ("b2_open", "B2", 30.0, (170, 3)),
        ("b2_shorted", "B2", 30.0, (170, 4)),
        ("b3_open", "B3", 35.0, (171, 3)),
        ("b3_shorted", "B3", 35.0, (171, 4)),
    ],
)
def test_is_a_sensor_that_cannot_be_right_not_believed_but_replaced_and_told(fault, sensor, taken_C, code):
    made = cool(truck(fault), 20.0)
    assert made.controller.temperature_C[sensor][0] == taken_C
    assert [(spn, fmi) for spn, fmi, _ in made.codes()[0]] == [code]


def test_is_a_sensor_that_is_only_shifted_believed():
    made = cool(truck("b2_shifted"), 20.0)
    assert made.codes() == [[]]
    assert abs(made.controller.temperature_C["B2"][0] - made.climate.bunk_C[0]) > 2.0


def test_does_an_open_thermal_switch_keep_the_compressor_still_and_say_so():
    made = cool(truck("s1_open"), 20.0)
    assert not made.controller.cooling[0]
    assert [(spn, fmi) for spn, fmi, _ in made.codes()[0]] == [(520194, 31)]


@pytest.mark.parametrize(("fault", "code"), [("m1_seized", (520195, 7)), ("m1_shorted_to_case", (520195, 6))])
def test_does_a_compressor_that_cannot_turn_leave_its_code(fault, code):
    made = cool(truck(fault), 3.5)  # booted, and not yet five seconds asked in vain
    early = {(spn, fmi) for spn, fmi, _ in made.codes()[0]}
    assert ((520195, 7) in early) is False
    made.advance(10.0)
    assert code in {(spn, fmi) for spn, fmi, _ in made.codes()[0]}
    assert made.compressor.rpm[0] == 0.0


def test_does_the_compressor_run_up_at_its_ramp():
    made = cool(truck(), 0.0)
    rising = [one for one in followed(made, 12.0) if 0.0 < one.rpm < 1400.0]
    assert len(rising) >= 2
    slopes = np.diff([one.rpm for one in rising]) / np.diff([one.time_s for one in rising])
    np.testing.assert_allclose(slopes, figure(made, "drive.start_ramp_rpm_per_s"), rtol=0.02)


@pytest.mark.parametrize(("outside_C", "runs"), [(4.0, False), (8.0, True)])
def test_is_there_no_cooling_when_it_is_cold_outside(outside_C, runs):
    made = cool(truck(outside_C=outside_C, bunk_C=28.0), 20.0)
    assert bool(made.controller.cooling[0]) is runs


def test_does_it_wait_three_minutes_after_the_pressure_was_too_high():
    made = cool(truck("m3_open", outside_C=40.0, bunk_C=40.0), 0.0)
    seen = followed(made, 1500.0)
    stop = turns(seen, to=False)[0]
    assert seen[stop].condensing_C == pytest.approx(figure(made, "controller.high_pressure_C"), abs=0.1)
    again = next(i for i in turns(seen, to=True) if i > stop)
    assert seen[again].time_s - seen[stop].time_s >= 180.0 - NEAR_S


def test_does_the_frost_switch_stop_at_one_limit_and_start_at_the_other():
    night = {"outside_C": 20.0, "bunk_C": 22.0, "relative_humidity": 0.6, "sun_hour": 23.0, "occupants": 0}
    made = truck(**night)
    made.turn_blower(1)
    made.turn_temperature(16.0)
    made.press_parked_cooling(True)
    seen = followed(made, 2400.0)
    stop = turns(seen, to=False)[0]
    again = next(i for i in turns(seen, to=True) if i > stop)
    assert seen[stop].fins_C == pytest.approx(figure(made, "controller.evaporator_low_C"), abs=0.1)
    assert seen[again].fins_C == pytest.approx(figure(made, "controller.evaporator_high_C"), abs=0.1)


def test_does_the_isolator_close_and_open_after_its_delays_and_at_once_without_its_sense_lead():
    made = truck(aux_charge=0.97, start_charge=0.97)
    made.set_key("engine")
    seen = followed(made, 60.0)
    charging = next(i for i, one in enumerate(seen) if one.sense_V > figure(made, "isolator.close_V"))
    closed = next(i for i, one in enumerate(seen) if one.isolator)
    assert seen[closed].time_s - seen[charging].time_s == pytest.approx(
        figure(made, "isolator.close_delay_s"), abs=NEAR_S
    )
    made.pull_fuse("F7")
    assert not any(one.isolator for one in followed(made, 1.0))
    low = drive(truck(aux_charge=0.6, start_charge=0.6), 60.0)
    assert low.isolator.closed[0]
    low.set_key("off")
    seen = followed(low, 600.0)
    limit_V = figure(low, "isolator.open_V")
    below = next(i for i, one in enumerate(seen) if one.sense_V < limit_V)
    opened = next(i for i, one in enumerate(seen) if not one.isolator)
    assert seen[opened].time_s - seen[below].time_s == pytest.approx(
        figure(low, "isolator.open_delay_s"), abs=NEAR_S
    )
