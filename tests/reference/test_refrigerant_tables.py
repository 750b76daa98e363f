"""Does R-134a have the properties that published tables and service charts give it?

Outside values: ref_r134a_handbook.json (the independent check), ref_gauge_chart.json, ref_r134a_const.json,
ref_r134a_sat.json, ref_r134a_vapour.json. The last two come from CoolProp, from which the saturation line was
fitted and the coefficients were copied: they guard the copy and the solution, not the formulation.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from parked_hvac.physics import refrigerant

AUTHORITIES = Path(__file__).parent / "authorities"


def value_of(name: str):
    return json.loads((AUTHORITIES / f"{name}.json").read_text(encoding="utf-8"))["value"]


HANDBOOK = value_of("ref_r134a_handbook")


@pytest.mark.parametrize("bar", HANDBOOK)
def test_does_it_boil_where_the_handbook_says(bar):
    """ref_r134a_handbook.json: 0.2 K, the handbook rounds and uses another equation."""
    found = refrigerant.saturation_temperature_C(100.0 * float(bar))
    assert found == pytest.approx(HANDBOOK[bar]["T"], abs=0.2)


@pytest.mark.parametrize("bar", HANDBOOK)
def test_does_boiling_take_the_heat_the_handbook_says(bar):
    """ref_r134a_handbook.json: 0.25 %; differences of enthalpy only, for the zero differs between sources."""
    row = HANDBOOK[bar]
    celsius = refrigerant.saturation_temperature_C(100.0 * float(bar))
    found = refrigerant.heat_of_vaporisation_J_per_kg(celsius) / 1000.0
    assert found == pytest.approx(row["hg"] - row["hf"], rel=0.0025)


def test_does_liquid_warm_as_in_the_handbook():
    """ref_r134a_handbook.json: 0.3 kJ/kg from the first row, what 0.2 K of its boiling points make."""
    celsius = np.array([refrigerant.saturation_temperature_C(100.0 * float(bar)) for bar in HANDBOOK])
    found = refrigerant.saturated_liquid(celsius).enthalpy_J_per_kg / 1000.0
    given = np.array([row["hf"] for row in HANDBOOK.values()])
    np.testing.assert_allclose(found - found[0], given - given[0], atol=0.3, rtol=0)


def test_does_a_service_gauge_read_as_the_charts_say():
    """ref_gauge_chart.json (from memory): 0.5 psi, the width of a gauge's line."""
    chart = value_of("ref_gauge_chart")
    fahrenheit = np.array([float(key) for key in chart])
    gauge_psi = refrigerant.saturation_pressure_kPa((fahrenheit - 32.0) / 1.8) / 6.894757 - 14.696
    np.testing.assert_allclose(gauge_psi, list(chart.values()), atol=0.5, rtol=0)


def test_do_the_critical_and_the_boiling_point_lie_where_published():
    """ref_r134a_const.json: 0.05 K and 0.1 %, the spread between its two sources."""
    published = value_of("ref_r134a_const")
    sheet = published["freon_datasheet"]
    for source in (published, sheet):
        assert pytest.approx(source["Tcrit_C"], abs=0.05) == refrigerant.CRITICAL_TEMPERATURE_C
        assert pytest.approx(source["pcrit_kPa"], rel=0.001) == refrigerant.CRITICAL_PRESSURE_KPA
        assert refrigerant.saturation_temperature_C(101.325) == pytest.approx(source["NBP_C"], abs=0.05)


def test_is_the_saturation_line_that_of_the_library_it_was_fitted_to():
    """ref_r134a_sat.json: 0.05 %, the printed digits at the cold end."""
    table = value_of("ref_r134a_sat")
    celsius = np.array([float(key) for key in table])
    given = {
        name: np.array([row[name] for row in table.values()])
        for name in ("p_kPa", "hfg_kJ_kg", "rho_l", "rho_v")
    }
    found = {
        "p_kPa": refrigerant.saturation_pressure_kPa(celsius),
        "hfg_kJ_kg": refrigerant.heat_of_vaporisation_J_per_kg(celsius) / 1000.0,
        "rho_l": refrigerant.saturated_liquid(celsius).density_kg_per_m3,
        "rho_v": refrigerant.saturated_vapour(celsius).density_kg_per_m3,
    }
    for name, values in given.items():
        np.testing.assert_allclose(found[name], values, rtol=5e-4, err_msg=name)


def test_is_superheated_vapour_that_of_the_same_published_equation():
    """ref_r134a_vapour.json: 0.02 %, from the 0.01 % of the fitted saturation pressure."""
    rows = value_of("ref_r134a_vapour")
    celsius = np.array([row["saturation_C"] + row["superheat_K"] for row in rows])
    found = refrigerant.vapour(celsius, np.array([row["p_kPa"] for row in rows]))
    pairs = {
        "rho_kg_m3": found.density_kg_per_m3,
        "h_kJ_kg": found.enthalpy_J_per_kg / 1000.0,
        "s_kJ_kgK": found.entropy_J_per_kg_K / 1000.0,
        "cp_kJ_kgK": found.specific_heat_J_per_kg_K / 1000.0,
    }
    for name, values in pairs.items():
        np.testing.assert_allclose(values, [row[name] for row in rows], rtol=2e-4, err_msg=name)
