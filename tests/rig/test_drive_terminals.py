"""What the drive's terminals show to one another and to the ground, with one leg dead or with none."""

from __future__ import annotations

import pytest

from parked_hvac.instruments import meter
from parked_hvac.rig.truck import Truck
from tests.rig.trucks import cool, truck

PAIRS = (("U", "V"), ("V", "W"), ("W", "U"))


def ac_volts(made: Truck, red: str, black: str) -> float:
    return float(meter.read(made, "ac_volts", red, black).values[0])


def between_terminals(made: Truck, side: str = "T1") -> dict[str, float]:
    return {a + b: ac_volts(made, f"{side}.{a}", f"{side}.{b}") for a, b in PAIRS}


def test_are_the_three_lines_alike_on_a_sound_drive() -> None:
    shown = between_terminals(cool(truck(), 30.0))
    assert max(shown.values()) - min(shown.values()) < 0.01
    assert shown["UV"] > 4.0


@pytest.mark.parametrize("phase", ["U", "V", "W"])
def test_do_dc_volts_ac_volts_and_hertz_each_see_their_part_of_a_switched_terminal(phase: str) -> None:
    """High for half the time: the mean is half the supply, and so is the true RMS of what alternates."""
    made = cool(truck(), 30.0)
    supply_V = float(made.voltage_V("T1.+", "T1.-")[0])
    shown = {
        function: float(meter.read(made, function, f"T1.{phase}", "T1.-").values[0])
        for function in ("dc_volts", "ac_volts", "hertz")
    }
    assert shown["dc_volts"] == pytest.approx(0.5 * supply_V, rel=0.01)
    assert shown["ac_volts"] == pytest.approx(0.5 * supply_V, rel=0.02)
    assert shown["hertz"] == pytest.approx(float(made.parameters["drive.frequency_Hz"][0]), rel=0.01)
    # Against a steady terminal of the same wire, for one who doubts it: no alternating part, no frequency.
    assert meter.read(made, "ac_volts", "T1.+", "T1.-").values[0] < 0.1
    assert meter.read(made, "hertz", "T1.+", "T1.-").values[0] == 0.0


@pytest.mark.parametrize(("place", "dead"), [(0.1, "U"), (0.5, "V"), (0.9, "W")])
def test_does_a_dead_leg_halve_the_two_lines_that_it_belongs_to(place: float, dead: str) -> None:
    shown = between_terminals(cool(truck("t1_leg_dead", place=place), 30.0))
    # A dead leg's terminal stands at the mean of the two others, so it is half as far from either (star winding).
    whole = next(volts for pair, volts in shown.items() if dead not in pair)
    for pair, volts in shown.items():
        if dead in pair:
            assert volts == pytest.approx(whole / 2, rel=0.02), pair


def test_does_a_drive_without_output_show_nothing_between_its_terminals() -> None:
    assert set(between_terminals(cool(truck("t1_no_output"), 30.0)).values()) == {0.0}


def test_does_a_dead_leg_show_nothing_once_the_motor_is_unplugged() -> None:
    made = truck("t1_leg_dead", place=0.5)
    made.part("X30")
    cool(made, 30.0)
    assert ac_volts(made, "T1.V", "T1.-") == 0.0
    assert ac_volts(made, "T1.U", "T1.-") == pytest.approx(ac_volts(made, "T1.U", "T1.V"), rel=0.02)


def test_do_both_ends_of_the_motor_s_plug_show_the_same() -> None:
    made = cool(truck("t1_leg_dead", place=0.5), 30.0)
    assert between_terminals(made) == pytest.approx(between_terminals(made, "M1"), rel=0.02)


def test_does_the_counter_find_the_carrier_and_between_two_live_legs_twice_of_it() -> None:
    made = cool(truck("t1_leg_dead", place=0.5), 30.0)
    carrier_Hz = float(made.parameters["drive.frequency_Hz"][0])
    for leads, times in ((("T1.U", "T1.-"), 1.0), (("T1.V", "T1.-"), 1.0), (("T1.U", "T1.W"), 2.0)):
        assert float(meter.read(made, "hertz", *leads).values[0]) == pytest.approx(
            times * carrier_Hz, rel=0.01
        )
