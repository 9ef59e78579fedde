"""Exposure against ISO 2720 and the old rule for f/16; colour against the CIE and a spectrum."""

import pytest

from sunsched.day.kit.camera import Camera
from sunsched.day.kit.weather import Haze
from sunsched.sky.daylight.colour import OVERCAST_K, colour_of, mired
from sunsched.sky.daylight.exposure import (
    exposure_value,
    nd_density,
    nd_stops,
    stops_between,
    t_stop,
)


def test_exposure_in_full_sun():
    """ISO 2720:1974 with C = 340: 95 klx, ISO 800, half a turn at 24 frames a second."""
    ev = exposure_value(95_000)
    stop = t_stop(ev, Camera())
    assert ev == pytest.approx(14.77, abs=0.005)
    assert stop == pytest.approx(68, abs=0.5)
    assert nd_density(nd_stops(stop, 4)) == pytest.approx(2.46, abs=0.005)


def test_sunny_sixteen():
    """The rule of f/16 at one over the ISO index is EV 14.64, here 87.0 klx: the sun's own beam."""
    camera = Camera(iso=100, shutter_deg=360, frames_s=100)
    assert t_stop(exposure_value(87_040), camera) == pytest.approx(16, abs=0.01)


def test_a_stop_is_a_doubling():
    """Of the light, of the time and of the index."""
    assert stops_between(2.0, 1.0) == 1.0
    one, other = Camera(iso=200, frames_s=48), Camera(iso=100, frames_s=24)
    assert t_stop(10, one) == pytest.approx(t_stop(10, other))
    assert nd_density(1) == pytest.approx(0.30103)


@pytest.mark.parametrize(
    ("height_deg", "kelvin", "in_mired"),
    [(5, 2989, 334), (10, 3848, 260), (20, 4605, 217), (30, 4947, 202), (60, 5323, 188)],
)
def test_colour_of_the_sun(height_deg, kelvin, in_mired):
    """Bird and Riordan's spectra, the CIE's observer, Ohno's method: a second run elsewhere."""
    found = colour_of(height_deg, Haze.CLEAR)
    assert found is not None
    assert found.sun_k == pytest.approx(kelvin, abs=3)
    assert mired(found.sun_k) == pytest.approx(in_mired, abs=1)


def test_colour_begins_at_two_degrees():
    """Below it the spectra fail, and nothing is said."""
    assert colour_of(2.0, Haze.CLEAR) is not None
    assert colour_of(1.999, Haze.CLEAR) is None


def test_typical_daylight():
    """ "5 700 K best typifies this daylight": 2600 spectra of Granada, JOSA A 18, 1325, 2001."""
    both = [
        found.both_k for height in range(15, 76, 15) if (found := colour_of(height, Haze.CLEAR))
    ]
    assert sum(both) / len(both) == pytest.approx(5700, abs=100)
    assert pytest.approx(6504, abs=10) == OVERCAST_K  # CIE D65


def test_colour_between_rows_and_past_the_ends():
    """A higher sun is bluer between rows too; past the table's end it has the end's colour."""
    heights = (10, 11, 12)
    found = [one.sun_k for height in heights if (one := colour_of(height, Haze.CLEAR))]
    assert found == sorted(set(found))
    assert colour_of(90.5, Haze.CLEAR) == colour_of(90, Haze.CLEAR)
    assert colour_of(1.9, Haze.CLEAR) is None


# A second run elsewhere of the same spectra and method, by the optical depth at 500 nm.
@pytest.mark.parametrize(
    ("haze", "kelvin"),
    [
        (Haze.VERY_CLEAR, {5: 3168, 10: 4005, 20: 4724, 30: 5042, 40: 5216, 60: 5387, 90: 5457}),
        (Haze.CLEAR, {5: 2990, 10: 3849, 20: 4606, 30: 4947, 40: 5136, 60: 5323, 90: 5400}),
        (Haze.HAZY, {5: 2681, 10: 3568, 20: 4387, 30: 4769, 40: 4984, 60: 5199, 90: 5289}),
        (Haze.THICK, {5: 2211, 10: 3107, 20: 4005, 30: 4448, 40: 4705, 60: 4969, 90: 5080}),
    ],
)
def test_colour_by_the_haze(haze, kelvin):
    """Haze makes the sun redder, at every height."""
    found = {height: one.sun_k for height in kelvin if (one := colour_of(height, haze))}
    assert found == pytest.approx(kelvin, abs=3)
