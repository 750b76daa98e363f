"""Is the truck's wiring the copper of the standard, with a contact wherever something is bolted, plugged or clipped?"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.harness import harness
from parked_hvac.rig.truck import Truck
from tests.rig.trucks import cool, truck

IEC = json.loads(
    (Path(__file__).parents[1] / "reference" / "authorities" / "wire_iec60228_class5.json").read_text(
        encoding="utf-8"
    )
)["value"]
SECTIONS_MM2 = {float(area) for area in IEC} | {0.5, 0.75, 1.0}  # and the thin ones of IEC 60228, from memory


def cable_ohm(made: Truck, name: str) -> float:
    return float(1.0 / made.now.conductance_S[harness().row[name]][0])


@pytest.mark.parametrize("outside_C", [-10.0, 20.0, 38.0])
def test_has_every_cable_the_resistance_of_its_copper_at_its_temperature(outside_C: float) -> None:
    """IEC 60028 by hand: 17.241 Ω·mm²/km at 20 °C, 0.00393 per kelvin."""
    made = truck(outside_C=outside_C, bunk_C=20.0)
    for name in catalogue().cables:
        length_m, area_mm2 = (
            float(made.parameters[f"cable.{name}.{what}"][0]) for what in ("length_m", "area_mm2")
        )
        copper = 17.241e-3 * length_m / area_mm2 * (1.0 + 0.00393 * (outside_C - 20.0))
        assert cable_ohm(made, name) == pytest.approx(copper, rel=1e-9), name


def test_keeps_every_cable_below_the_maximum_of_its_class() -> None:
    """wire_iec60228_class5.json, for the sections that the table has; a real cable has up to 16 % more than pure copper."""
    made, compared = truck(outside_C=20.0), 0
    for name in catalogue().cables:
        area_mm2 = float(made.parameters[f"cable.{name}.area_mm2"][0])
        assert any(np.isclose(area_mm2, section) for section in SECTIONS_MM2), (name, area_mm2)
        most = next((ohm for area, ohm in IEC.items() if np.isclose(float(area), area_mm2)), None)
        if most is not None:
            per_km = 1e3 * cable_ohm(made, name) / float(made.parameters[f"cable.{name}.length_m"][0])
            assert 0.8 * most < per_km < most, name
            compared += 1
    assert compared > 20


def test_is_it_a_network_of_a_truck_and_not_of_a_sketch() -> None:
    assert len(harness().nodes) > 60
    made = truck()
    ohm = np.array(
        [float(made.parameters[f"contact.{name}.resistance_ohm"][0]) for name in catalogue().contacts]
    )
    assert len(ohm) > 20
    assert np.all((ohm > 0.0) & (ohm < 0.03)), "a sound contact drops little, but never nothing"


def test_does_the_unit_send_its_current_home_over_the_frame() -> None:
    """All that the unit's ground cable brings to the frame leaves it by the auxiliary bank's, less what else lives there."""
    made = cool(truck(), 60.0)
    unit_A, bank_A, start_A = (float(made.current_A(cable)[0]) for cable in ("W14", "W7", "W1"))
    assert abs(unit_A) > 40.0
    assert abs(bank_A) == pytest.approx(
        abs(unit_A), abs=3.0
    )  # the truck's own standby comes from the start bank
    assert abs(start_A) < 3.0
    ends = dict(zip(harness().names, harness().ends, strict=True))
    assert any("X0" in ends[name] for name in catalogue().contacts)
