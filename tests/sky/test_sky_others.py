"""The sun against other people's programs, over random places and times.

skyfield with JPL's ephemeris DE421 is the reference; astral is NOAA's calculator; pvlib's full SPA
is what our track stands on.
"""

import warnings
from datetime import UTC, datetime, timedelta

import astral
import astral.sun
import numpy as np
import pandas as pd
import pytest
from pvlib import solarposition
from skyfield import almanac
from skyfield.api import Loader, wgs84
from skyfield_data import get_skyfield_data_path

from sunsched.day.model import Place
from sunsched.sky.events import (
    ASTRONOMICAL_DEG,
    CIVIL_DEG,
    NAUTICAL_DEG,
    SUNRISE_DEG,
    crossings,
    solar_noon,
)
from sunsched.sky.track import separation_deg, sun_at, sun_track


def random_places_and_times(count, max_latitude_deg, seed):
    """Draw places spread over the globe and moments from 1980 to the end of 2025."""
    draw = np.random.default_rng(seed)
    first = datetime(1980, 1, 1, tzinfo=UTC)
    days = (datetime(2026, 1, 1, tzinfo=UTC) - first).days
    top = np.sin(np.radians(max_latitude_deg))
    return [
        (
            Place(
                name="",
                latitude_deg=float(np.degrees(np.arcsin(draw.uniform(-top, top)))),
                longitude_deg=float(draw.uniform(-180, 180)),
                elevation_m=float(draw.uniform(0, 3000)),
                timezone="UTC",
            ),
            first + timedelta(days=float(draw.uniform(0, days))),
        )
        for _ in range(count)
    ]


@pytest.fixture(scope="module")
def skyfield_sun():
    """Give skyfield's clock, Earth and Sun, all from packaged files."""
    with warnings.catch_warnings():
        # One packaged file, of the Earth's rotation, is past its date; the builtin clock does not
        # read it.
        warnings.filterwarnings("ignore", "The file .* has expired", RuntimeWarning)
        load = Loader(get_skyfield_data_path())
    planets = load("de421.bsp")
    yield load.timescale(builtin=True), planets["earth"], planets["sun"]
    planets.close()


def test_positions_skyfield(skyfield_sun):
    """Before 2026 our sun is within 0.005° of skyfield's, which has the Earth's true turning."""
    clock, earth, sun = skyfield_sun
    cases = random_places_and_times(220, 90, seed=1)
    moments = clock.from_datetimes([when for _, when in cases])
    theirs = (
        (
            earth
            + wgs84.latlon(
                np.array([place.latitude_deg for place, _ in cases]),
                np.array([place.longitude_deg for place, _ in cases]),
                np.array([place.elevation_m for place, _ in cases]),
            )
        )
        .at(moments)
        .observe(sun)
        .apparent()
        .altaz()
    )
    ours = [sun_at(place, when) for place, when in cases]
    elevation_deg = np.array([position.elevation_deg for position in ours])
    azimuth_deg = np.array([position.azimuth_deg for position in ours])
    assert np.abs(elevation_deg - theirs[0].degrees).max() < 0.005
    apart = separation_deg(azimuth_deg, elevation_deg, theirs[1].degrees, theirs[0].degrees)
    assert apart.max() < 0.005


@pytest.mark.parametrize(
    "elevation_deg", [SUNRISE_DEG, CIVIL_DEG, NAUTICAL_DEG, ASTRONOMICAL_DEG, 10.0]
)
def test_events_skyfield(skyfield_sun, elevation_deg):
    """Below 66° of latitude each crossing is skyfield's within 2 s: none missed, none too many."""
    clock, earth, sun = skyfield_sun
    compared = 0
    for place, when in random_places_and_times(30, 66, seed=2):
        observer = earth + wgs84.latlon(place.latitude_deg, place.longitude_deg)
        end = when + timedelta(hours=24)
        span = clock.from_datetime(when), clock.from_datetime(end)
        theirs = []
        for finder, rising in ((almanac.find_risings, True), (almanac.find_settings, False)):
            times, crosses = finder(observer, sun, *span, horizon_degrees=elevation_deg)
            # False marks a day whose highest or lowest sun does not reach the height.
            found = [t.utc_datetime() for t, real in zip(times, crosses, strict=True) if real]
            theirs += [(t, rising) for t in found]
        theirs.sort()
        ours = crossings(place, when, end, elevation_deg)
        assert [crossing.rising for crossing in ours] == [rising for _, rising in theirs]
        for crossing, (time, _) in zip(ours, theirs, strict=True):
            assert abs((crossing.time - time).total_seconds()) < 2
            compared += 1
    assert compared > 40


def test_noon_skyfield(skyfield_sun):
    """Solar noon is skyfield's upper transit within 2 s."""
    clock, earth, sun = skyfield_sun
    for place, when in random_places_and_times(25, 66, seed=3):
        noon = solar_noon(place, when.date())
        observer = earth + wgs84.latlon(place.latitude_deg, place.longitude_deg)
        times = almanac.find_transits(
            observer,
            sun,
            clock.from_datetime(noon - timedelta(hours=3)),
            clock.from_datetime(noon + timedelta(hours=3)),
        )
        assert abs((times[0].utc_datetime() - noon).total_seconds()) < 2


def test_positions_astral():
    """Our geometric sun is within 0.05° of astral's, by another theory."""
    for place, when in random_places_and_times(220, 89, seed=4):
        ours = sun_at(place, when)
        observer = astral.Observer(place.latitude_deg, place.longitude_deg, 0.0)
        elevation_deg = astral.sun.elevation(observer, when, with_refraction=False)
        azimuth_deg = astral.sun.azimuth(observer, when)
        assert abs(ours.elevation_deg - elevation_deg) < 0.05
        apart = separation_deg(ours.azimuth_deg, ours.elevation_deg, azimuth_deg, elevation_deg)
        assert apart < 0.05


def test_track_full_spa():
    """Our track is within 0.001° of pvlib's SPA run with the terrestrial time of its year."""
    for place, when in random_places_and_times(12, 89, seed=5):
        track = sun_track(place, when, when + timedelta(hours=12))
        full = solarposition.spa_python(
            pd.date_range(track.start, periods=len(track), freq="min"),
            place.latitude_deg,
            place.longitude_deg,
            altitude=place.elevation_m,
            delta_t=None,
        )
        elevation_deg = full["elevation"].to_numpy()
        assert np.abs(track.elevation_deg - elevation_deg).max() < 0.001
        apart = separation_deg(
            track.azimuth_deg, track.elevation_deg, full["azimuth"].to_numpy(), elevation_deg
        )
        assert apart.max() < 0.001
        # Down to the edge at which pvlib's refraction stops at a stroke and ours begins to fade.
        up = elevation_deg > -0.83
        apparent = full["apparent_elevation"].to_numpy()
        assert np.abs(track.apparent_elevation_deg - apparent)[up].max(initial=0.0) < 0.001
