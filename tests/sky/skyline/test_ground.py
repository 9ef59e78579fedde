"""Where things stand on the earth, and how far they sink.

Outside truth: GeographicLib (C. Karney, J. Geodesy 87:43, 2013), the reference library for
geodesics; the dip of the sea's horizon in Bowditch, The American Practical Navigator (2019).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from sunsched.sky.skyline.ground import (
    EARTH_M,
    REFRACTION,
    Station,
    along_ray,
    east_north_m,
    sea_horizon_deg,
    seen_at_deg,
)

STATIONS = [(46.4, 13.7), (0.0, 0.0), (-33.9, 179.98), (78.2, 15.6), (-54.8, -68.3)]


@pytest.mark.parametrize(("latitude", "longitude"), STATIONS)
@pytest.mark.parametrize("distance", [300.0, 8_000.0, 100_000.0])
def test_rays_end_where_a_geodesic_does(latitude, longitude, distance):
    """Bearing and distance to where a ray ends are those that GeographicLib finds."""
    station = Station(latitude_deg=latitude, longitude_deg=longitude)
    for azimuth in range(5, 360, 37):
        there = [float(one) for one in along_ray(station, azimuth, distance)]
        found = Geodesic.WGS84.Inverse(latitude, longitude, *there)
        assert found["azi1"] % 360 == pytest.approx(azimuth, abs=0.002)
        # The sphere has one curvature, the ellipsoid's differs by 1 % at most.
        assert found["s12"] == pytest.approx(distance, rel=2e-6 if distance > 1e4 else 1e-9 + 1e-8)


@pytest.mark.parametrize(("latitude", "longitude"), STATIONS)
def test_what_stands_north_and_east_is_seen_there(latitude, longitude):
    """A footprint's corners have GeographicLib's bearings, also across the date line."""
    station = Station(latitude_deg=latitude, longitude_deg=longitude)
    for azimuth in range(5, 360, 37):
        found = Geodesic.WGS84.Direct(latitude, longitude, azimuth, 400)
        east, north = east_north_m(station, found["lat2"], found["lon2"])
        assert math.degrees(math.atan2(east, north)) % 360 == pytest.approx(azimuth, abs=1e-4)
        assert math.hypot(east, north) == pytest.approx(400, abs=1e-3)


def test_a_moved_station_is_as_far_away():
    """Eight metres south-west are eight metres south-west."""
    moved = Station(latitude_deg=47, longitude_deg=11).moved(-8, -8)
    found = Geodesic.WGS84.Inverse(47, 11, moved.latitude_deg, moved.longitude_deg)
    assert found["azi1"] % 360 == pytest.approx(225, abs=1e-6)
    assert found["s12"] == pytest.approx(math.hypot(8, 8), abs=1e-6)


@pytest.mark.parametrize("height_m", [2.0, 30.0, 400.0, 3000.0])
def test_the_sea_dips_as_navigators_say(height_m):
    """Bowditch has 1.76 minutes of arc times the root of the metres; his refraction is larger."""
    assert sea_horizon_deg(height_m) == pytest.approx(-1.76 / 60 * math.sqrt(height_m), rel=0.03)


def test_far_hills_sink():
    """300 m at 30 km over an eye at 10 m, by the formula of every book on levelling."""
    distance = 30_000.0
    sunk = distance**2 * (1 - REFRACTION) / (2 * EARTH_M)
    expected = math.degrees(math.atan((300 - 10 - sunk) / distance))
    assert seen_at_deg(10, 300, distance) == pytest.approx(expected, abs=2e-4)
    # Without the earth's curve it would stand 0.12° higher: a quarter of the sun.
    assert math.degrees(math.atan(290 / distance)) - expected == pytest.approx(0.117, abs=0.001)


def test_the_sea_itself_is_highest_at_its_horizon():
    """Over all distances the sphere is seen nowhere above its dip."""
    seen = seen_at_deg(100.0, 0.0, np.linspace(1_000, 100_000, 5_000))
    assert seen.max() == pytest.approx(sea_horizon_deg(100.0), abs=1e-6)
