"""Skylines and shadows."""

import math
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from sunsched.day.model import Place
from sunsched.day.skyline import HorizonPoint
from sunsched.sky.events import sun_events
from sunsched.sky.horizon import (
    SEMIDIAMETER_DEG,
    direct_share,
    direct_spans,
    horizon_deg,
    lacking_deg,
    overhangs_deg,
    showing_deg,
)
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


def test_north_from_just_below_it():
    """A hair to the west of north is north, though it rounds to 360°."""
    points = skyline((0, 20.0), (90, 10.0), (270, 0.0))
    assert -1e-17 % 360.0 == 360.0
    assert horizon_deg(points, [-1e-17, 0.0, 360.0]).tolist() == [20.0, 20.0, 20.0]


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


def test_a_vertical_edge_is_two_points_at_one_azimuth():
    """Left of the edge the first holds, on it and right of it the second, also at north."""
    block = skyline((0, 1), (0, 30), (40, 30), (40, 2), (200, 2))
    asked = [359.999, 0, 20, 39.999, 40, 120, 360]
    assert horizon_deg(block, asked) == pytest.approx([1, 30, 30, 30, 2, 2, 30], abs=1e-4)


def test_a_declared_wall_runs_along_its_upper_edge():
    """A wall 12 m above the eye at 20 m has tan h = 12/20 cos(azimuth from square on).

    Plane trigonometry; two corners give it back at every azimuth, at any slope of the edge.
    """
    corner = math.degrees(math.atan(12 / (20 * math.sqrt(2))))
    wall = HorizonPoint(azimuth_deg=340, elevation_deg=corner, is_wall=True)
    points = (HorizonPoint(azimuth_deg=70, elevation_deg=corner), wall)
    asked = np.arange(340, 431) % 360
    expected = np.degrees(np.arctan(12 / 20 * np.cos(np.radians(asked - 25))))
    assert horizon_deg(points, asked) == pytest.approx(expected, abs=1e-9)
    assert horizon_deg(points, 25) == pytest.approx(30.9638, abs=1e-4)
    # Straight in angle it would be 8° too low in the middle.
    assert horizon_deg((points[0], replace(wall, is_wall=False)), 25) == pytest.approx(corner)


BRIDGE = (
    HorizonPoint(azimuth_deg=0, elevation_deg=10),
    HorizonPoint(azimuth_deg=350, elevation_deg=30, under_deg=20, part="bridge"),
    HorizonPoint(azimuth_deg=100, elevation_deg=40, under_deg=20, part="bridge"),
)


def test_an_overhang_has_two_edges_between_its_first_and_last_point():
    """Both are straight in angle, and it may stand across north."""
    [(low, high)] = overhangs_deg(BRIDGE, [349.9, 350, 45, 100, 100.1])
    assert low == pytest.approx([np.nan, 20, 20, 20, np.nan], nan_ok=True)
    assert high == pytest.approx([np.nan, 30, 35, 40, np.nan], nan_ok=True)
    assert horizon_deg(BRIDGE, [0, 45]).tolist() == [10, 10]


def test_an_overhang_of_many_points_and_of_one():
    """Each piece runs between its own two points; a single point hides its own azimuth alone."""
    bent = tuple(
        HorizonPoint(azimuth_deg=a, elevation_deg=high, under_deg=low, part="roof")
        for a, low, high in ((10, 10, 40), (30, 30, 60), (50, 30, 70), (90, 10, 50))
    )
    [(low, high)] = overhangs_deg(bent, [10, 20, 30, 40, 70, 90])
    assert low == pytest.approx([10, 20, 30, 30, 20, 10])
    assert high == pytest.approx([40, 50, 60, 65, 60, 50])
    [(low, high)] = overhangs_deg(bent[:1], [9.9, 10, 10.1])
    assert low == pytest.approx([np.nan, 10, np.nan], nan_ok=True)
    assert high == pytest.approx([np.nan, 40, np.nan], nan_ok=True)


def test_the_sun_is_seen_below_an_overhang_and_above_it(track):
    """On the equator at equinox it climbs straight: ridge, light, bridge, light, and so to noon."""
    below, above = direct_spans(BRIDGE, track)
    sun = [
        sun_at(QUITO, when).apparent_elevation_deg for when in (below.start, below.end, above.start)
    ]
    top = overhangs_deg(BRIDGE, sun_at(QUITO, above.start).azimuth_deg)[0][1]
    edges = [10 - SEMIDIAMETER_DEG, 20 + SEMIDIAMETER_DEG, float(top) - SEMIDIAMETER_DEG]
    assert sun == pytest.approx(edges, abs=0.01)
    share = direct_share(BRIDGE, track)
    for when, expected in (
        (below.start + (below.end - below.start) / 2, 1.0),
        (below.end + (above.start - below.end) / 2, 0.0),
        (below.end, 0.0),
    ):
        assert share[track.minute_of(when)] == pytest.approx(expected, abs=0.25)
    assert share.max() == 1.0


def test_overhangs_that_cross_each_other_and_the_skyline_leave_no_false_gap(track):
    """Where one begins before the other ends, what is hidden is hidden once."""
    twice = (
        *BRIDGE,
        replace(BRIDGE[1], under_deg=25, elevation_deg=50, part="b"),
        replace(BRIDGE[2], under_deg=5, elevation_deg=50, part="b"),
    )
    shown = direct_share(twice, track)
    sun = track.apparent_elevation_deg
    east = track.azimuth_deg < 100
    hidden = east & (sun > 20.3) & (sun < 49.7)
    assert hidden.sum() > 60
    assert shown[hidden].max() == 0.0
    assert showing_deg(twice, track)[hidden].max() < 0
    assert shown[east & (sun > 50.3)].min() == 1.0


def test_a_sun_that_lacks_little_is_told_by_how_much(track):
    """To the nearest open sky as high as the disc: down below the bridge, or up above it."""
    lacks = lacking_deg(BRIDGE, track)
    sun = track.apparent_elevation_deg
    minute = int(np.argmin(np.abs(sun[:720] - 21)))
    assert lacks[minute] == pytest.approx(sun[minute] + SEMIDIAMETER_DEG - 20, abs=1e-9)
    assert showing_deg(BRIDGE, track)[minute] == pytest.approx(
        20 - sun[minute] + SEMIDIAMETER_DEG, abs=1e-9
    )
    assert lacks[direct_share(BRIDGE, track) == 1.0].max() == 0.0


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


def test_spans_run_from_the_start_and_to_the_end_beside_others():
    """Noon to noon: light until sunset and again from sunrise."""
    noon = sun_events(QUITO, ON).solar_noon
    track = sun_track(QUITO, noon, noon + timedelta(days=1))
    evening, morning = direct_spans((), track)
    assert (evening.start, morning.end) == (track.time_of(0), track.time_of(1440))
    sunset = sun_events(QUITO, ON).sunset
    sunrise = sun_events(QUITO, ON + timedelta(days=1)).sunrise
    assert sunset is not None
    assert sunrise is not None
    assert abs(evening.end - sunset) < timedelta(seconds=15)
    assert abs(morning.start - sunrise) < timedelta(seconds=15)


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
