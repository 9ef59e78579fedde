"""Skylines and shadows."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from sunsched.day.model import HorizonPoint, Place
from sunsched.sky.events import sun_events
from sunsched.sky.horizon import SEMIDIAMETER_DEG, direct_share, direct_spans, horizon_deg
from sunsched.sky.shadow import shadow_direction_deg, shadow_length_ratio
from sunsched.sky.track import sun_at, sun_track

QUITO = Place(
    name="Quito",
    latitude_deg=-0.2,
    longitude_deg=-78.5,
    elevation_m=0,
    timezone="America/Guayaquil",
)
ON = date(2027, 3, 21)
MIDNIGHT = datetime(2027, 3, 21, 5, 0, tzinfo=UTC)


def skyline(*points):
    """Make a skyline of (azimuth, elevation) pairs."""
    return tuple(HorizonPoint(azimuth_deg=a, elevation_deg=e) for a, e in points)


@pytest.fixture(scope="module")
def track():
    """Give an equinox day on the equator: the sun comes straight up in the east."""
    return sun_track(QUITO, MIDNIGHT, MIDNIGHT + timedelta(days=1))


def test_pvgis_heights_between_points():
    """Heights between points are on the line between them.

    The first four heights, 7.5° apart, of the PVGIS horizon that pvlib keeps in its tests; straight
    lines as in pvlib's gallery example of shading.
    """
    points = skyline((0, 9.9), (7.5, 13.0), (15, 14.5), (22.5, 15.7))
    heights = horizon_deg(points, np.array([0, 3.75, 7.5, 10, 22.5]))
    assert heights == pytest.approx([9.9, 11.45, 13.0, 13.5, 15.7])


def test_skyline_wraps_at_north():
    """The line from the last point to the first runs through north, whatever the rows' order."""
    points = skyline((10, 4.0), (350, 8.0), (180, 0.0))
    assert horizon_deg(points, np.array([350, 355, 0, 5, 10, 360])).tolist() == [8, 7, 6, 5, 4, 6]


def test_level_and_round_skylines():
    """No points are a level horizon, one point a wall all around."""
    azimuths = np.array([[0.0, 90.0], [180.0, 359.0]])
    assert horizon_deg((), azimuths).tolist() == [[0, 0], [0, 0]]
    assert horizon_deg(skyline((77, 3.5)), azimuths).tolist() == [[3.5, 3.5], [3.5, 3.5]]


def test_share_across_the_disc(track):
    """Half the disc shows when its centre stands on the skyline, all or none at its limbs."""
    minute = 12 * 60
    centre = track.apparent_elevation_deg[minute]
    radius = SEMIDIAMETER_DEG
    for ridge, expected in (
        (centre, 0.5),
        (centre - radius, 1.0),
        (centre + radius, 0.0),
        (centre + radius / 2, 0.25),
        (centre - 2, 1.0),
        (centre + 2, 0.0),
    ):
        share = direct_share(skyline((0, ridge)), track)
        assert share[minute] == pytest.approx(expected, abs=1e-9)
        assert share.shape == (len(track),)


def test_level_horizon_is_sunrise(track):
    """Direct light on a level horizon lasts from sunrise to sunset, to half a minute.

    They are not the same: a published sunrise has 34' of refraction, SPA a little more that low.
    """
    events = sun_events(QUITO, ON)
    (span,) = direct_spans((), track)
    assert events.sunrise is not None
    assert events.sunset is not None
    assert abs((span.start - events.sunrise).total_seconds()) < 30
    assert abs((span.end - events.sunset).total_seconds()) < 30


def test_ridge_delays_the_sun(track):
    """Behind a ridge of 20° in the east the sun comes an hour and more later, by its upper limb."""
    ridge = skyline((0, 0.0), (60, 20.0), (120, 20.0), (150, 0.0), (359, 0.0))
    (level,), (behind,) = direct_spans((), track), direct_spans(ridge, track)
    assert behind.end == level.end
    limb = sun_at(QUITO, behind.start).apparent_elevation_deg + SEMIDIAMETER_DEG
    assert limb == pytest.approx(20.0, abs=0.001)
    # Straight up at 15° an hour: 20°, and the 0.55° by which a level horizon bends light more.
    later = timedelta(hours=(20 + 0.55) / 15)
    assert abs(behind.start - level.start - later) < timedelta(seconds=30)


def test_tower_splits_the_day():
    """A tower in the south, higher than the sun, cuts the day in two where its edges stand."""
    lisbon = Place(
        name="Lisbon", latitude_deg=38.7, longitude_deg=-9.1, elevation_m=0, timezone="UTC"
    )
    track = sun_track(
        lisbon, datetime(2027, 12, 21, tzinfo=UTC), datetime(2027, 12, 22, tzinfo=UTC)
    )
    tower = skyline((170, 0), (170.01, 80), (189.99, 80), (190, 0))
    morning, evening = direct_spans(tower, track)
    assert sun_at(lisbon, morning.end).azimuth_deg == pytest.approx(170, abs=0.3)
    assert sun_at(lisbon, evening.start).azimuth_deg == pytest.approx(190, abs=0.3)


def test_sun_never_shows(track):
    """Deep in a shaft there is no direct light at all."""
    shaft = skyline((0, 90.0))
    assert direct_spans(shaft, track) == ()
    assert direct_share(shaft, track).max() <= 0.5


def test_span_runs_to_the_ends_of_the_track():
    """A track cut out of the middle of the day is in direct light from end to end."""
    noon = sun_events(QUITO, ON).solar_noon
    track = sun_track(QUITO, noon, noon + timedelta(hours=1))
    (span,) = direct_spans((), track)
    assert (span.start, span.end) == (track.time_of(0), track.time_of(60))


@pytest.mark.parametrize(
    ("elevation_deg", "ratio"),
    [(5, 11.43), (10, 5.671), (20, 2.747), (30, 1.732), (45, 1.0), (60, 0.5774), (90, 0.0)],
)
def test_shadow_length(elevation_deg, ratio):
    """Shadow over height is the cotangent of the apparent height of the sun.

    Explanatory Supplement to the Astronomical Almanac, 3rd ed., 12.3.3.2.
    """
    assert shadow_length_ratio(elevation_deg) == pytest.approx(ratio, rel=5e-4, abs=1e-12)


def test_no_shadow_without_sun():
    """At or below the horizon a shadow has no end, and no warning is raised for it."""
    assert shadow_length_ratio(np.array([0.0, -0.0, -5.0])).tolist() == [np.inf] * 3


def test_shadow_falls_away_from_the_sun():
    """A southern sun throws the shadow north, through north included."""
    assert shadow_direction_deg(np.array([180.0, 0.0, 90.0, 270.0, 359.0])).tolist() == [
        0,
        180,
        270,
        90,
        179,
    ]
