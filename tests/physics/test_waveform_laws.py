"""Pulse trains: the closed forms against a wave sampled point by point, and the limits."""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.physics.waveform import PulseTrain


@pytest.mark.parametrize(
    ("low", "high", "duty"), [(0.0, 12.5, 0.4), (-6.0, 6.0, 0.5), (0.7, 13.8, 0.05), (-3.0, 9.0, 0.9)]
)
def test_do_the_closed_forms_match_a_sampled_wave(low, high, duty):
    wave = PulseTrain(low, high, duty, 10_000.0)
    sampled = np.where((np.arange(10_000) + 0.5) / 10_000 < duty, high, low)
    assert wave.mean_V == pytest.approx(sampled.mean(), rel=1e-12, abs=1e-12)
    assert wave.rms_V == pytest.approx(np.sqrt(np.mean(sampled**2)), rel=1e-12)
    assert wave.ac_rms_V == pytest.approx(sampled.std(), rel=1e-12)
    assert wave.rectified_mean_V == pytest.approx(np.abs(sampled).mean(), rel=1e-12)


def test_is_the_square_of_the_whole_that_of_its_parts():
    wave = PulseTrain(np.array([-1.0, 0.0, 2.0]), np.array([5.0, 12.0, 3.0]), np.array([0.1, 0.5, 0.99]), 1.0)
    np.testing.assert_allclose(wave.rms_V**2, wave.mean_V**2 + wave.ac_rms_V**2, rtol=1e-13)


@pytest.mark.parametrize("duty", [0.0, 1.0])
def test_has_a_steady_voltage_no_alternating_part(duty):
    wave = PulseTrain(0.0, 12.5, duty, 0.0)
    assert wave.ac_rms_V == 0.0
    assert wave.mean_V == 12.5 * duty


def test_have_nothing_and_something_a_crest_factor_side_by_side():
    wave = PulseTrain(0.0, np.array([0.0, 12.5]), 0.25, 7200.0)
    np.testing.assert_array_equal(wave.crest_factor, [np.nan, 2.0])
    np.testing.assert_array_equal(wave.form_factor, [np.nan, 2.0])


@pytest.mark.parametrize(
    ("duty", "frequency", "words"),
    [(40.0, 1.0, "divide percent by 100"), (np.nan, 1.0, "duty"), (0.5, -1.0, "negative")],
)
def test_does_an_impossible_wave_say_what_to_do(duty, frequency, words):
    with pytest.raises(ValueError, match=words):
        PulseTrain(0.0, 12.5, duty, frequency)
