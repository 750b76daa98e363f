"""Does the sun rise, culminate and set where it should, and shine within reason?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.physics import sun

HOURS = np.linspace(0.0, 24.0, 24 * 60 + 1)
JUNE = sun.clear_sky(HOURS)


def test_is_it_dark_at_night():
    night = JUNE.elevation_deg < 0.0
    assert 0.3 < night.mean() < 0.5
    for light in (JUNE.beam_W_per_m2, JUNE.diffuse_W_per_m2, JUNE.level_W_per_m2):
        assert np.all(light[night] == 0.0)
        assert np.all(light >= 0.0)


def test_does_the_sun_culminate_in_the_south_at_latitude_and_declination():
    """Noon elevation on the longest day: 90 - latitude + 23.45 degrees, 0.1 degrees."""
    noon = int(np.argmax(JUNE.elevation_deg))
    assert JUNE.elevation_deg[noon] == pytest.approx(90.0 - 35.0 + 23.45, abs=0.1)
    assert JUNE.azimuth_deg[noon] == pytest.approx(180.0, abs=2.0)
    # 100 degrees west on the clock of 90 degrees west: 40 minutes late, and 2 by the equation of time.
    assert HOURS[noon] == pytest.approx(12.0 + 40.0 / 60.0, abs=0.06)


def test_is_the_equinox_twelve_hours_long_everywhere():
    """0.2 h, for the equinox falls between two midnights."""
    for latitude in (0.0, 30.0, 50.0):
        lit = sun.clear_sky(HOURS, day_of_year=80, latitude_deg=latitude).elevation_deg > 0
        assert lit.mean() * 24.0 == pytest.approx(12.0, abs=0.2)


def test_does_the_east_wall_get_the_morning_and_the_west_wall_the_evening():
    morning, evening = sun.clear_sky(8.5), sun.clear_sky(17.0)
    east, west = 90.0, 270.0
    assert sun.on_wall_W_per_m2(morning, east) > 3 * sun.on_wall_W_per_m2(morning, west)
    assert sun.on_wall_W_per_m2(evening, west) > 3 * sun.on_wall_W_per_m2(evening, east)


def test_does_haze_take_beam_and_add_sky_light():
    clear, hazy = sun.clear_sky(14.0, turbidity=2.5), sun.clear_sky(14.0, turbidity=5.0)
    assert hazy.beam_W_per_m2 < clear.beam_W_per_m2
    assert hazy.diffuse_W_per_m2 > clear.diffuse_W_per_m2
    assert hazy.level_W_per_m2 < clear.level_W_per_m2


def test_does_nothing_shine_brighter_than_beyond_the_air():
    assert np.all(JUNE.beam_W_per_m2 < sun.SOLAR_CONSTANT_W_PER_M2)
    assert (
        sun.clear_sky(12.6, altitude_m=3000.0).beam_W_per_m2
        > sun.clear_sky(12.6, altitude_m=0.0).beam_W_per_m2
    )


def test_do_numbers_stay_numbers():
    assert np.ndim(sun.clear_sky(12.0).level_W_per_m2) == 0
    assert sun.on_wall_W_per_m2(sun.clear_sky(np.array([9.0, 12.0])), 90.0).shape == (2,)
