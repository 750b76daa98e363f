"""Does the compression cycle come out as textbook examples and another program say?

Outside values: ref_cengel_ideal.json, ref_cengel_actual.json (published numbers from memory, recomputed with
CoolProp), ref_ideal_cycle_older_tables.json, ref_cycle_plausibility.json.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from parked_hvac.physics import refrigerant

AUTHORITIES = Path(__file__).parent / "authorities"


def value_of(name: str):
    return json.loads((AUTHORITIES / f"{name}.json").read_text(encoding="utf-8"))["value"]


def test_does_the_ideal_textbook_cycle_come_out():
    """ref_cengel_ideal.json (published values from memory): 0.5 %, its three digits."""
    given = value_of("ref_cengel_ideal")
    evaporating, condensing = (refrigerant.saturation_temperature_C(kPa) for kPa in (140.0, 800.0))
    made = refrigerant.cycle(evaporating, condensing, 0.0, 0.0, 1.0)
    flow_kg_per_s = 0.05
    assert flow_kg_per_s * made.cooling_J_per_kg / 1000 == pytest.approx(given["QL_kW"], rel=0.005)
    assert flow_kg_per_s * made.work_J_per_kg / 1000 == pytest.approx(given["W_kW"], rel=0.005)
    assert flow_kg_per_s * made.heat_rejected_J_per_kg / 1000 == pytest.approx(given["QH_kW"], rel=0.005)
    assert made.cop == pytest.approx(given["COP"], rel=0.005)
    assert made.discharge_C == pytest.approx(given["coolprop"]["T2_C"], abs=0.1)
    assert made.vapour_after_valve == pytest.approx(given["coolprop"]["x4"], abs=0.001)


def test_does_the_actual_textbook_cycle_come_out():
    """ref_cengel_actual.json (published values from memory): 0.5 %, its three digits."""
    given = value_of("ref_cengel_actual")
    suction = refrigerant.vapour(-10.0, 140.0)
    discharge = refrigerant.vapour(50.0, 800.0)
    ideal = refrigerant.isentropic_end(suction.entropy_J_per_kg_K, 800.0, 45.0)
    liquid = refrigerant.saturated_liquid(26.0)
    gain = suction.enthalpy_J_per_kg - liquid.enthalpy_J_per_kg
    work = discharge.enthalpy_J_per_kg - suction.enthalpy_J_per_kg
    assert 0.05 * gain / 1000 == pytest.approx(given["QL_kW"], rel=0.005)
    assert 0.05 * work / 1000 == pytest.approx(given["W_kW"], rel=0.005)
    assert (ideal.enthalpy_J_per_kg - suction.enthalpy_J_per_kg) / work == pytest.approx(
        given["eta"], rel=0.005
    )
    assert gain / work == pytest.approx(given["COP"], rel=0.005)


def test_does_the_cycle_of_a_worked_problem_come_out():
    """ref_ideal_cycle_older_tables.json: 1 %, for the problem uses older tables."""
    given = value_of("ref_ideal_cycle_older_tables")
    made = refrigerant.cycle(-10.0, 28.0, 0.0, 0.0, 1.0)
    assert made.cooling_J_per_kg / 1000 == pytest.approx(given["q_kJ_kg"], rel=0.01)
    assert made.work_J_per_kg / 1000 == pytest.approx(given["w_kJ_kg"], rel=0.01)


def test_does_the_parked_unit_work_where_another_program_has_it():
    """ref_cycle_plausibility.json: 0.2 %, the same equation of state in another program."""
    given = value_of("ref_cycle_plausibility")
    made = refrigerant.cycle(
        evaporating_C=5, condensing_C=50, superheat_K=5, subcooling_K=5, isentropic_efficiency=0.65
    )
    assert made.evaporating_kPa == pytest.approx(given["pe_kPa"], rel=0.002)
    assert made.condensing_kPa == pytest.approx(given["pc_kPa"], rel=0.002)
    assert made.pressure_ratio == pytest.approx(given["ratio"], rel=0.002)
    assert made.cooling_J_per_kg / 1000 == pytest.approx(given["q_kJ_kg"], rel=0.002)
    assert made.work_J_per_kg / 1000 == pytest.approx(given["w_kJ_kg"], rel=0.002)
    assert made.cop == pytest.approx(given["COP"], rel=0.002)
    assert made.discharge_C == pytest.approx(given["T2_C"], abs=0.1)
    assert made.cop < given["Carnot_COP"]
