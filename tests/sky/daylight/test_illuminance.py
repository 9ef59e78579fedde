"""Daylight against the IES paper, the CIE's overcast sky and the Explanatory Supplement."""

from math import log10, pi

import pvlib
import pytest

from sunsched.day.kit.ground import GROUNDS
from sunsched.sky.daylight.exposure import stops_between
from sunsched.sky.daylight.illuminance import (
    Sky,
    air_mass,
    daylight,
    face_klx,
    half_sky_klx,
    twilight_klx,
)
from sunsched.sky.daylight.twilight import twilight_lux


@pytest.mark.parametrize(("turned_deg", "klx"), [(0, 14.7), (90, 6.5), (180, 2.5)])
def test_half_of_a_clear_sky(turned_deg, klx):
    """IES 1984, vertical half-sky, clear, the sun at 30° (the paper's formula, another's run)."""
    assert half_sky_klx(30, turned_deg, Sky.CLEAR) == pytest.approx(klx, abs=0.05)


@pytest.mark.parametrize(("turned_deg", "klx"), [(0, 21.30), (90, 7.10), (180, 0.0)])
def test_half_of_a_partly_cloudy_sky(turned_deg, klx):
    """IES 1984 at 30°, by hand: 12 × 0.5236 + 30.2 × 0.5^0.8 × 0.866, (1 + cos)/(3 - cos) of it."""
    assert half_sky_klx(30, turned_deg, Sky.PARTLY) == pytest.approx(klx, abs=0.01)


@pytest.mark.parametrize("turned_deg", [0, 90, 180])
def test_half_of_a_cloudy_sky(turned_deg):
    """IES 1984, 8.5 sin h: 4.25 klx at 30°, to whichever side."""
    assert half_sky_klx(30, turned_deg, Sky.CLOUDY) == pytest.approx(4.25)


@pytest.mark.parametrize(("sky", "klx"), [(Sky.PARTLY, 22.8), (Sky.CLOUDY, 10.8)])
def test_sky_on_the_ground_by_hand(sky, klx):
    """IES 1984 at 30°: 0.3 + 45 × 0.5, and 0.3 + 21 × 0.5."""
    assert daylight(30, 93, sky).sky_horizontal == pytest.approx(klx)


@pytest.mark.parametrize(("height_deg", "mass"), [(0.1, 36.467), (10, 5.586), (90, 1.0)])
def test_air_mass(height_deg, mass):
    """Kasten and Young 1989, as pvlib's own tests have it."""
    assert air_mass(height_deg) == pytest.approx(mass, abs=2e-3)
    assert air_mass(height_deg) == pytest.approx(
        pvlib.atmosphere.get_relative_airmass(90 - height_deg, "kastenyoung1989"), rel=1e-9
    )


@pytest.mark.parametrize(
    ("height_deg", "beam", "sky", "total"),
    [
        (10, 39.5, 7.3, 14.1),
        (20, 69.3, 9.9, 33.6),
        (30, 83.9, 11.8, 53.7),
        (50, 97.0, 14.4, 88.6),
        (90, 103.4, 16.3, 119.7),
    ],
)
def test_clear_daylight_at_the_mean_distance(height_deg, beam, sky, total):
    """IES 1984 at the mean distance of the sun, by the formulas worked out elsewhere (klx)."""
    found = daylight(height_deg, 93, Sky.CLEAR)  # early April: nearly the mean distance
    assert found.beam_normal == pytest.approx(beam, rel=0.01)
    assert found.sky_horizontal == pytest.approx(sky, abs=0.06)
    assert found.total == pytest.approx(total, rel=0.01)


def test_an_overcast_sky_on_an_upright_plane():
    """CIE overcast sky (ISO 15469 type 16): vertical to horizontal 0.396.

    Moon and Spencer's luminance (1 + 2 sin γ)/3 over both planes gives (3π + 8)/(14π).
    """
    assert (3 * pi + 8) / (14 * pi) == pytest.approx(0.396, abs=5e-4)
    high = half_sky_klx(90, 0, Sky.CLOUDY) / daylight(90, 93, Sky.CLOUDY).sky_horizontal
    assert high == pytest.approx(0.396, abs=0.01)


@pytest.mark.parametrize(
    ("height_deg", "stops"),
    [(10, (4.2, 4.0, 3.5, 2.9)), (30, (4.0, 3.6, 2.9, 2.25)), (60, (3.1, 2.6, 1.9, 1.3))],
)
def test_lit_against_shadow_side_over_grounds(height_deg, stops):
    """A calculation of its own from the same paper, asphalt, grass, sand and snow."""
    found = daylight(height_deg, 166, Sky.CLEAR)
    for ground, wanted in zip(("asphalt", "grass", "sand", "snow"), stops, strict=True):
        lit, shadow = (
            face_klx(found, height_deg, turned, GROUNDS[ground].share) for turned in (0, 180)
        )
        assert stops_between(lit, shadow) == pytest.approx(wanted, abs=0.06)


def test_a_hidden_sun_leaves_the_sky():
    """The share of the disc that arrives is that of the beam."""
    open_sky, hidden = (daylight(30, 166, Sky.CLEAR, arrives) for arrives in (1.0, 0.0))
    assert hidden.beam_normal == 0.0
    assert hidden.sky_horizontal == open_sky.sky_horizontal
    assert daylight(30, 166, Sky.CLOUDY).beam_normal == 0.0


@pytest.mark.parametrize("height_deg", [0.0, -3.0])
def test_daylight_ends_at_the_horizon(height_deg):
    """Below it the models say nothing."""
    with pytest.raises(ValueError, match="begins above 0"):
        daylight(height_deg, 166, Sky.CLEAR)


@pytest.mark.parametrize(
    ("height_deg", "lux"),
    [(5, 4540), (2, 1920), (0, 759), (-0.833, 454), (-2, 189), (-6, 3.41), (-12, 0.0081)],
)
def test_dusk(height_deg, lux):
    """Explanatory Supplement, 3rd ed., table 12.8, worked out from its coefficients elsewhere.

    3.4 lx at the end of civil twilight is the figure of the AMS Glossary too (3.5 to 2 lx).
    """
    assert twilight_lux(height_deg) == pytest.approx(lux, rel=0.01)


def test_pieces_of_dusk_meet():
    """Neighbouring pieces agree where they meet, within twice the error that the table states."""
    for edge in (20.0, 5.0, -0.8, -5.0, -12.0):
        above, below = (twilight_lux(edge + step) for step in (1e-9, -1e-9))
        assert abs(log10(above) - log10(below)) <= 0.04


def test_dusk_has_an_end():
    """Past 18° below the horizon the table has nothing."""
    assert twilight_klx(-18.1) is None
    assert twilight_klx(-18.0) == pytest.approx(twilight_lux(-18.0) / 1000)
    with pytest.raises(ValueError, match="the table has"):
        twilight_lux(-19)
