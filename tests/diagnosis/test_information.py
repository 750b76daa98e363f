from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.diagnosis import information, kernel
from parked_hvac.diagnosis.posterior import start
from tests.diagnosis import small_rig
from tests.diagnosis.test_posterior import ensembles


def test_is_entropy_that_of_a_fair_choice() -> None:
    assert information.entropy_bits(np.full(8, 1 / 8)) == pytest.approx(3.0)
    assert information.entropy_bits(np.array([1.0, 0.0])) == 0.0


def test_is_a_reading_that_settles_a_fair_choice_of_four_worth_two_bits() -> None:
    assert information.gained_bits(np.full(4, 0.25), np.array([1.0, 0, 0, 0])) == pytest.approx(2.0)
    assert information.gained_bits(np.full(4, 0.25), np.full(4, 0.25)) == 0.0


def test_does_expected_information_meet_the_mean_of_what_readings_then_taught() -> None:
    """The same quantity by two ways: from the table of outcomes, and by playing 600 trucks."""
    trucks = ensembles(200, 5)
    belief = start(small_rig.FAULTS, small_rig.PRIOR, 200)
    generator = np.random.default_rng(6)
    for check in ("a_on", "d_on", "fuse_ohms"):
        prediction = small_rig.predict(trucks, check)
        expected = information.expected_information_bits(
            belief.ensemble.forecast([prediction]), belief.posterior
        )[0]
        gains = []
        for _ in range(600):
            fault = small_rig.FAULTS[int(generator.choice(5, p=small_rig.PRIOR))]
            seen = small_rig.observe(small_rig.draw(fault, 1, generator), check)
            after = belief.observe(prediction, seen)
            gains.append(information.gained_bits(belief.posterior, after.posterior))
        # 600 trucks: the mean of gains scatters by about 0.03 bit; sorting into cells loses a little besides.
        assert expected == pytest.approx(np.mean(gains), abs=0.12)


def test_is_the_check_that_shows_nothing_worth_nothing() -> None:
    belief = start(small_rig.FAULTS, small_rig.PRIOR, 24)
    trucks = ensembles(24, 5)
    off, on = information.expected_information_bits(
        belief.ensemble.forecast([small_rig.predict(trucks, "a_off"), small_rig.predict(trucks, "b_on")]),
        belief.posterior,
    )
    # The off voltage is the same under every cause.
    assert off < 0.005
    assert on > 0.3


def test_is_a_cause_ruled_out_only_by_strong_evidence() -> None:
    out = information.ruled_out(np.log(np.array([1.0, 0.06, 0.04])))
    assert out.tolist() == [False, False, True]


def test_do_kernels_stay_narrow_within_modes_and_wide_between() -> None:
    draws = np.concatenate([np.linspace(0.0, 0.01, 16), np.linspace(12.0, 12.4, 8)])
    width = kernel.widths(draws, np.full(24, 1 / 24))
    assert width[:16].max() < 0.01
    assert width[16:].max() < 0.5
    alone = kernel.widths(np.array([np.nan, np.nan, np.nan, 1.0]), np.full(4, 0.25))
    assert np.isfinite(alone).all()


def test_does_a_width_follow_the_near_neighbour_and_not_farther_than_one_bell() -> None:
    """Against the definition, draw by draw: WIDEN times the way to the neighbour of that order, Silverman's width at most."""
    generator = np.random.default_rng(4)
    draws = generator.normal(size=(3, 24)) * np.array([[0.01], [1.0], [50.0]])
    draws[1, ::5] = np.nan
    weights = generator.random((3, 24))
    weights /= weights.sum(axis=1, keepdims=True)
    order = round(kernel.NEIGHBOUR * 24**0.8)
    found = kernel.widths(draws, weights)
    for row, weight, width in zip(draws, weights, found, strict=True):
        known = np.isfinite(row)
        w = weight[known] / weight[known].sum()
        spread = np.sqrt((w * (row[known] - (w * row[known]).sum()) ** 2).sum())
        widest = 1.06 * spread * (1.0 / (w**2).sum()) ** -0.2
        apart = np.sort(np.abs(row[known][:, None] - row[known]), axis=1)[:, order]
        assert width[known] == pytest.approx(np.minimum(kernel.WIDEN * np.minimum(apart, widest), widest))
        assert not width[~known].any()


def test_is_the_bell_a_density() -> None:
    x = np.linspace(-400, 400, 400_001)
    # The heavy tail beyond ±400 widths holds less than 1e-9.
    assert np.trapezoid(np.exp(kernel.log_bell(x, np.full_like(x, 1.0))), x) == pytest.approx(1.0, abs=1e-6)


def test_are_shares_those_of_the_logistic_curve() -> None:
    generator = np.random.default_rng(3)
    edges = np.sort(generator.normal(0.0, 20.0, 30))
    draws = generator.normal(0.0, 20.0, (5, 8))
    width = 10.0 ** generator.uniform(-6.0, 1.0, (5, 8))
    held = generator.random((5, 8)) * (generator.random((5, 8)) < 0.7)
    held[4] = 0.0
    below = 0.5 * (1.0 + np.tanh(0.7559 * (edges - draws[..., None]) / width[..., None]))
    inside = np.diff(below, axis=-1, prepend=0.0, append=1.0)
    exact = np.einsum("cn,cnk->ck", held, inside)[:4] / held[:4].sum(axis=1, keepdims=True)
    # What lies beyond twenty steps of the curve, two billionths, is left out.
    found = kernel.shares_between(edges, draws, width, held)
    assert found[:4] == pytest.approx(exact, abs=1e-8)
    assert not found[4].any()
