"""Exposure against ISO 2720 and the old rule for f/16; colour against the CIE and a spectrum."""

import pytest

from sunsched.day.kit.camera import Camera
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
    found = colour_of(height_deg)
    assert found is not None
    assert found.sun_k == pytest.approx(kelvin, abs=3)
    assert mired(found.sun_k) == pytest.approx(in_mired, abs=1)


def test_typical_daylight():
    """ "5 700 K best typifies this daylight": 2600 spectra of Granada, JOSA A 18, 1325, 2001."""
    both = [found.both_k for height in range(15, 76, 15) if (found := colour_of(height))]
    assert sum(both) / len(both) == pytest.approx(5700, abs=100)
    assert pytest.approx(6504, abs=10) == OVERCAST_K  # CIE D65


def test_colour_between_rows_and_past_the_ends():
    """Haze makes the sun redder; the table's ends are kept; too low a sun has no colour."""
    by_haze = [found.sun_k for haze in (0.05, 0.07, 0.1, 0.4) if (found := colour_of(10, haze))]
    assert by_haze == sorted(by_haze, reverse=True)
    assert colour_of(10, 3.0) == colour_of(10, 0.4)
    by_height = [found.sun_k for height in (10, 11, 12) if (found := colour_of(height))]
    assert by_height == sorted(set(by_height))
    assert colour_of(1.9) is None
