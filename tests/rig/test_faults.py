"""Does every fault change a reading that a learner can take, and does its repair take it away?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.rig import parameters
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.faults import apply_fault, draw_parameters, faults
from parked_hvac.rig.truck import Truck
from parked_hvac.tables import DataError
from tests.rig.trucks import cool, side_by_side

FIRST_ROUND = [
    "aux_battery_weak",
    "lug_corroded_unit_ground",
    "isolator_stuck_open",
    "isolator_sense_fuse_blown",
    "fuse_f13_blown",
    "k1_contact_burnt",
    "k2_coil_open",
    "b1_shifted",
    "s1_open",
    "t1_leg_dead",
    "m3_ground_lost",
    "refrigerant_lost",
    "nothing_wrong",
]


def _readings(made: Truck) -> dict[str, np.ndarray]:
    """Voltages at every terminal, currents in every cable, what senses tell, resistances of dead parts."""
    told: dict[str, np.ndarray] = {f"V {name}": made.voltage_V(name) for name in catalogue().terminals}
    told |= {f"A {name}": made.current_A(name) for name in catalogue().cables}
    told |= {f"bank {name}": made.current_A(name) for name in catalogue().batteries()}
    told |= {f"T {point}": made.temperature_C(point) for point in ("vent air", "compressor body")}
    for location in catalogue().locations:
        for thing, words in made.senses(location).items():
            told[f"sense {location} {thing}"] = words
    told["link"] = made.link_answers().astype(float)
    return told


def _differs(values: np.ndarray, sound: int) -> np.ndarray:
    if values.dtype.kind == "U":
        return values != values[sound]
    # A hundredth of a volt, half an ampere, half a kelvin: what the course's instruments resolve.
    step = 0.02 if np.abs(values).max() < 20 else 0.5
    return np.abs(values - values[sound]) > step


@pytest.mark.slow
def test_does_every_fault_change_a_reading_that_can_be_taken(capsys):
    names = list(faults())
    sound = names.index("nothing_wrong")
    seen: dict[str, set[str]] = {name: set() for name in names}

    def note(made: Truck) -> None:
        for reading, values in _readings(made).items():
            for i in np.flatnonzero(_differs(values, sound)):
                seen[names[int(i)]].add(reading)

    made = side_by_side(names)
    note(made)
    made.turn_blower(3)
    made.press_parked_cooling(True)
    made.advance(240.0)
    note(made)
    made.press_parked_cooling(False)
    made.set_key("engine")
    made.advance(120.0)
    note(made)
    made.turn_blower(0)
    made.advance(5.0)
    note(made)
    with capsys.disabled():
        print()
        for name in names:
            print(f"{name:34s} {len(seen[name]):4d} readings, such as {sorted(seen[name])[:3]}")
    silent = [name for name in names if not seen[name] and name != "nothing_wrong"]
    # What no voltage in a running truck shows is shown by a test with the part unplugged.
    assert silent == [], silent


def test_are_the_first_twelve_faults_of_different_families_there():
    assert set(FIRST_ROUND) <= set(faults())
    assert len({faults()[name].component for name in FIRST_ROUND}) >= 12


def test_are_there_at_least_sixty_faults():
    assert len(faults()) > 60


_CHARGE_STAYS = (
    "isolator_stuck_open",
    "isolator_sense_fuse_blown",
)  # their repair fits charged batteries, see job/


@pytest.mark.parametrize("name", [name for name in FIRST_ROUND if name not in _CHARGE_STAYS])
def test_does_a_repair_bring_the_sound_truck_back(name):
    figures = parameters.nominal()
    apply_fault(figures, name, np.array([0.5]), np.array([0.9]))
    made = Truck(figures)
    made.repair(parameters.nominal())
    sound = Truck(parameters.nominal())
    for reading in (("G2+", "G2-"), ("X20", "X22"), ("T1.+", "T1.-"), ("K0.B1", "K0.B0")):
        assert cool(made, 5.0).voltage_V(*reading)[0] == pytest.approx(
            float(cool(sound, 5.0).voltage_V(*reading)[0]), abs=0.02
        )


def test_do_severities_spread_from_truck_to_truck():
    drawn = draw_parameters(["k1_contact_burnt"], 200, np.random.default_rng(3))["relay.K1.contact_ohm"]
    assert drawn.min() < 0.2
    assert drawn.max() > 0.5


def test_is_another_battery_the_weak_one_in_another_truck():
    drawn = draw_parameters(["aux_battery_weak"], 200, np.random.default_rng(3))
    weak = [int((drawn[f"G2.{i}.resistance_factor"] > 5).sum()) for i in range(1, 5)]
    assert sum(weak) == 200
    assert min(weak) > 25


def test_are_the_same_trucks_drawn_from_the_same_seed():
    one, two = (draw_parameters(["s1_open"], 5, np.random.default_rng(11)) for _ in range(2))
    assert all(np.array_equal(one[name], two[name]) for name in one)


def test_does_a_misspelt_name_name_its_nearest():
    with pytest.raises(DataError, match="did you mean 'k1_coil_open'"):
        draw_parameters(["k1_coil_opne"], 1, np.random.default_rng(0))
    with pytest.raises(DataError, match=r"did you mean 'relay.K1.coil_ohm'"):
        parameters.nominal()["relay.K1.coil_omh"]
