"""Does the truck keep to what law and standards say of work that can hurt someone?

Outside values: safe_facts.json (looked up and from memory, as told at each fact). A check of words and limits, not of law:
local codes, the vehicle maker's manual and licensed practice come first.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.faults import faults
from tests.rig.trucks import cool, drive, truck

FACTS = json.loads((Path(__file__).parent / "authorities" / "safe_facts.json").read_text(encoding="utf-8"))[
    "value"
]
OPENS_THE_CIRCUIT = (
    "refrigerant_part_lost",
    "refrigerant_lost",
    "m1_winding_open",
    "m1_shorted_to_case",
    "m1_seized",
)


@pytest.mark.parametrize("name", OPENS_THE_CIRCUIT)
def test_is_work_on_the_refrigerant_left_to_the_certified_with_equipment(name: str) -> None:
    """safe_facts.json, 40 CFR 82.34(a): approved equipment, properly used, and a certified technician."""
    assert "approved equipment" in FACTS["40CFR82.34(a)"]
    assert "certified" in FACTS["40CFR82.34(a)"]
    repair = faults()[name].repair
    assert "certified technician" in repair
    assert "recovery equipment" in repair


def test_does_no_other_repair_open_the_circuit() -> None:
    words = ("refrigerant", "charge the unit", "compressor replaced")
    opening = {name for name, one in faults().items() if any(word in one.repair for word in words)}
    assert opening == set(OPENS_THE_CIRCUIT)


@pytest.mark.parametrize("fault", ["nothing_wrong", "alternator_overcharge"])
def test_does_no_terminal_of_the_truck_reach_the_voltage_that_hurts_by_touch(fault: str) -> None:
    """safe_facts.json, from memory: high voltage begins above 60 V DC, 30 V AC. Burns and arcs are another matter."""
    assert "above 60 V DC, 30 V AC" in FACTS["voltage"]
    for made in (cool(truck(fault), 60.0), drive(truck(fault), 60.0)):
        volts = [abs(float(made.voltage_V(name)[0])) for name in catalogue().terminals]
        assert max(volts) < 60.0
        waves = [made.waveform(f"T1.{one}", f"T1.{other}") for one, other in ("UV", "VW", "WU")]
        assert all(wave is None or np.all(wave.ac_rms_V < 30.0) for wave in waves)
