"""Do eyes, hands, ears and the thermometer find what a fault leaves to be found, and on a sound truck nothing of it?"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from parked_hvac.instruments import senses, thermometer
from parked_hvac.rig.truck import Truck
from tests.rig.trucks import cool, drive, truck


def at_rest(made: Truck) -> Truck:
    return made


def working(made: Truck) -> Truck:
    return cool(made, 60.0)


def engine(made: Truck) -> Truck:
    return drive(made, 60.0)


def damp_hours(made: Truck) -> Truck:
    """Hours of cooling in damp air, so that there is water to stand somewhere."""
    return cool(made, 3 * 3600.0)


LEFT = [
    ("lug_corroded_g2_positive", at_rest, "look", "aux_bank", "lugs at G2", "crust", "clean"),
    ("lug_corroded_x1", at_rest, "look", "feed_panel", "stud X1", "crust", "clean"),
    ("lug_corroded_unit_ground", at_rest, "look", "unit_outside", "ground stud X4", "crust", "clean"),
    ("harness_chafed", at_rest, "look", "unit_opened", "harness", "chafed", "whole"),
    ("m2_connector_burnt", at_rest, "look", "unit_opened", "plug X35", "browned", "clean"),
    ("refrigerant_lost", at_rest, "look", "unit_opened", "oil at the fittings", "oily spot", "dry"),
    ("condenser_blocked", at_rest, "look", "unit_outside", "condenser face", "matted with dirt", "clean"),
    ("condenser_blocked", working, "feel", "unit_outside", "air through the condenser", "weak", "good"),
    ("m3_open", working, "look", "unit_outside", "condenser fan", "stands", "turns fast"),
    ("m2_open", working, "feel", "bunk", "air from the vent", "none", "strong"),
    ("m2_worn", working, "listen", "unit_opened", "blower sound", "grinds", "even"),
    ("m1_seized", working, "listen", "unit_outside", "compressor sound", "hums and jerks", "runs"),
    ("refrigerant_lost", working, "feel", "bunk", "feel of the air", "not cold", "cold"),
    ("alternator_slips", engine, "listen", "engine_bay", "belt sound", "squeals", "quiet"),
    (
        "isolator_stuck_open",
        engine,
        "listen",
        "feed_panel",
        "isolator contacts sound",
        "at rest",
        "pulled in",
    ),
    ("isolator_status_lead_open", engine, "look", "cab", "isolator lamp", "dark", "lit"),
    ("drain_plugged", damp_hours, "look", "unit_opened", "drain pan", "full of water", "draining"),
    ("drain_plugged", damp_hours, "look", "bunk", "water under the unit", "wet", "dry"),
    ("bunk_lamp_left_on", at_rest, "look", "bunk", "reading lamp", "lit", "dark"),
]
DAY = {"outside_C": 34.0, "bunk_C": 35.0, "relative_humidity": 0.7, "occupants": 2, "curtains": "open"}


@pytest.mark.parametrize(
    ("fault", "use", "sense", "place", "thing", "faulty", "sound"),
    LEFT,
    ids=[f"{row[0]}-{row[2]}-{row[4].replace(' ', '_')}" for row in LEFT],
)
def test_does_a_sense_tell_the_fault_from_a_sound_truck(
    fault: str, use: Callable[[Truck], Truck], sense: str, place: str, thing: str, faulty: str, sound: str
) -> None:
    found, usual = (
        {
            told.partition(": ")[0]: told.partition(": ")[2]
            for told in senses.notice(use(made), sense, place).display[0].split("; ")
        }
        for made in (truck(fault, **DAY), truck(**DAY))
    )
    assert found[thing] == faulty
    assert usual[thing].startswith(sound) or usual[thing].endswith(sound)


@pytest.mark.parametrize(
    ("fault", "point"),
    [
        ("lug_corroded_g2_negative", "lug W7.1"),
        ("lug_corroded_unit_ground", "lug W14.2"),
        ("holder_f1_corroded", "holder F1"),
        ("k1_contact_burnt", "relay K1"),
        ("m2_connector_burnt", "plug X35"),
    ],
)
def test_is_a_joint_with_resistance_warm_under_load_and_no_warmer_than_the_air_without(
    fault: str, point: str
) -> None:
    made = truck(fault, severity=0.1, **DAY)  # not so bad that the unit gives up
    cold_C = thermometer.read(made, point).values[0]
    loaded_C = thermometer.read(working(made), point).values[0]
    sound_C = thermometer.read(working(truck(**DAY)), point).values[0]
    assert loaded_C > sound_C + 5.0
    assert cold_C == pytest.approx(DAY["outside_C"], abs=1.0)
