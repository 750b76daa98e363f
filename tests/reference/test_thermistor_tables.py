"""Do the sensors of the rig read as published tables say?

Outside values: ntc_tables.json, ntc_fits.json, ntc_synthetic.json, ntc_3977.json, ntc_sh.json. Trap: a table that was
printed from Steinhart-Hart coefficients always fits; the two used here were not.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from parked_hvac.physics import thermistor
from parked_hvac.physics.thermistor import SteinhartHart, fit_steinhart_hart

AUTHORITIES = Path(__file__).parent / "authorities"
CABIN_C = (-20.0, 80.0)


def value_of(name: str):
    return json.loads((AUTHORITIES / f"{name}.json").read_text(encoding="utf-8"))["value"]


def published(name: str, range_C: tuple[float, float] = (-60.0, 200.0)) -> tuple[np.ndarray, np.ndarray]:
    """Temperatures in °C and resistances in Ω of a published table within a range."""
    of = value_of("ntc_tables")[name]
    scale = 5000.0 if of["unit"] == "R/R25" else 1.0
    points = np.array(
        [(float(t), scale * r) for t, r in of["points"].items() if range_C[0] <= float(t) <= range_C[1]]
    )
    return points[:, 0], points[:, 1]


@pytest.mark.parametrize("name", ["10k", "5k"])
def test_is_the_table_of_the_rig_the_published_one(name):
    """ntc_tables.json: the file the rig reads holds the published points, all and unchanged."""
    ours, theirs = thermistor.table(name), value_of("ntc_tables")[name]
    assert {f"{t:g}": r for t, r in ours.points} == {t: float(r) for t, r in theirs["points"].items()}
    assert ours.unit == theirs["unit"]


@pytest.mark.parametrize("name", ["10k", "5k"])
def test_does_a_fitted_curve_keep_within_its_table(name):
    """ntc_tables.json: 0.05 °C over −20 to 80 °C, a tenth of what the sensors themselves are allowed."""
    temperatures, resistances = published(name, CABIN_C)
    curve = fit_steinhart_hart(temperatures, resistances)
    assert np.abs(curve.temperature_C(resistances) - temperatures).max() < 0.05


@pytest.mark.parametrize("name", ["10k", "5k"])
def test_does_the_curve_the_rig_uses_keep_within_its_table(name):
    """ntc_tables.json: fitted over the whole table; 0.1 °C is the printed rounding at its cold end."""
    temperatures, resistances = published(name)
    assert np.abs(thermistor.curve(name).temperature_C(resistances) - temperatures).max() < 0.1


@pytest.mark.parametrize("name", ["10k", "5k"])
def test_would_a_beta_curve_be_caught(name):
    """ntc_tables.json: the β law is off by more than a degree where ours keeps 0.05 °C."""
    temperatures, resistances = published(name, CABIN_C)
    beta = np.polyfit(np.log(resistances / resistances[temperatures == 25.0]), 1 / (temperatures + 273.15), 1)
    law = 1 / (1 / 298.15 + beta[0] * np.log(resistances / resistances[temperatures == 25.0])) - 273.15
    assert np.abs(law - temperatures).max() > 1.0


@pytest.mark.parametrize("case", ["10k", "10k_wide", "5k", "5k_wide"])
def test_does_another_solver_find_the_same_curve(case):
    """ntc_fits.json: scipy's least squares; 0.001 °C for where either of two iterations stops."""
    theirs = value_of("ntc_fits")[case]
    temperatures, resistances = published(case.split("_")[0], tuple(theirs["range_C"]))
    curve = fit_steinhart_hart(temperatures, resistances)
    other = SteinhartHart(*theirs["abc"])
    np.testing.assert_allclose(
        curve.temperature_C(resistances), other.temperature_C(resistances), atol=1e-3, rtol=0
    )
    worst = np.abs(curve.temperature_C(resistances) - temperatures).max()
    assert worst == pytest.approx(theirs["max_error_C"], abs=1e-3)


def test_do_published_coefficients_give_their_own_table():
    """ntc_synthetic.json: arithmetic only; 0.003 °C for resistances printed to a tenth of an ohm."""
    theirs = value_of("ntc_synthetic")
    curve = SteinhartHart(*theirs["published_abc"])
    for at_C, ohm in theirs["points"].items():
        assert curve.temperature_C(ohm) == pytest.approx(float(at_C), abs=0.003)
        assert curve.resistance_ohm(float(at_C)) == pytest.approx(ohm, rel=2e-4)


def test_does_the_5k_curve_agree_with_another_makers_part_of_the_same_beta():
    """ntc_3977.json: B25/85 = 3977 K of another maker; 0.1 °C, ±0.1 % of printing in both."""
    curve = thermistor.curve("5k")
    for at_C, ohm in value_of("ntc_3977").items():
        assert curve.temperature_C(ohm / 2) == pytest.approx(float(at_C), abs=0.1)


def test_does_the_5k_table_have_the_beta_its_sheet_prints():
    """ntc_tables.json: B25/85 printed as 3977 K; 3 K for three-digit ratios (0.1 % of R is 1.8 K of B)."""
    curve = thermistor.curve("5k")
    beta = np.log(curve.resistance_ohm(25.0) / curve.resistance_ohm(85.0)) / (1 / 298.15 - 1 / 358.15)
    assert beta == pytest.approx(value_of("ntc_tables")["5k"]["published_beta_25_85"], abs=3.0)


def test_does_the_published_inverse_polynomial_agree():
    """ntc_tables.json: the maker's own four-term law, 0.014 °C from its table; ours is 0.02 °C from it."""
    law = value_of("ntc_tables")["5k"]["published_inverse_poly"]
    _, resistances = published("5k", CABIN_C)
    log = np.log(resistances / 5000.0)
    theirs = 1 / (law["a"] + log * (law["b"] + log * (law["c"] + log * law["d"]))) - 273.15
    np.testing.assert_allclose(thermistor.curve("5k").temperature_C(resistances), theirs, atol=0.04, rtol=0)


def test_is_the_law_that_of_its_authors():
    """ntc_sh.json: written out by hand; 1e-9, rounding."""
    assert value_of("ntc_sh") == "1/T = A + B ln R + C (ln R)^3"
    a, b, c = value_of("ntc_synthetic")["published_abc"]
    for ohm in (300.0, 10e3, 300e3):
        by_hand = 1.0 / (a + b * np.log(ohm) + c * np.log(ohm) ** 3) - 273.15
        assert SteinhartHart(a, b, c).temperature_C(ohm) == pytest.approx(by_hand, abs=1e-9)
