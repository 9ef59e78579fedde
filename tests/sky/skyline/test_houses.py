"""Houses by their footprints: angles in closed form, by the tangents of right triangles."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sunsched.folder.skyline.footprints import Footprint
from sunsched.folder.skyline.tile import Tile, geographic_cells
from sunsched.folder.text.findings import Findings, Where
from sunsched.sky.skyline.ground import Station
from sunsched.sky.skyline.houses import Eye, see_houses

HERE = Station(latitude_deg=-42.88, longitude_deg=147.33)
FACE_M = 1.6


def ring(west, south, east, north):
    """Give a rectangle by metres from here, the corners in order, the first not repeated."""
    corners = [(west, south), (east, south), (east, north), (west, north)]
    there = [HERE.moved(*corner) for corner in corners]
    return tuple((one.latitude_deg, one.longitude_deg) for one in there)


def house(*rings, low=0.0, high=11.6):
    """Give a house of these rings."""
    return Footprint(name="mill", rings=rings, low_m=low, high_m=high)


def see(*houses, sea_m=None, tiles=()):
    """Look at houses; gives what is seen and the problems."""
    findings = Findings()
    eye = Eye(station=HERE, face_m=FACE_M, sea_m=sea_m, tiles=tiles)
    found = see_houses(3, houses, eye, Where(file="houses.geojson"), findings)
    return found, [fault.problem for fault in findings.faults]


def height_at(found, azimuth):
    """Give how high the edges stand at an azimuth, None where there are none."""
    there = [
        float(edge.at(np.array([azimuth]))[0])
        for edge in found.edges
        if (azimuth - edge.start_deg) % 360.0 <= edge.wide_deg
    ]
    return max(there) if there else None


def risen(up_m, away_m):
    """Give the angle of what stands so many metres above the face, so far away."""
    return pytest.approx(math.degrees(math.atan2(up_m, away_m)), abs=0.002)


def test_a_house_is_as_high_as_its_nearest_wall():
    """Ten metres above the face at 20 m: the arc tangent of a half, between its corners alone."""
    found, problems = see(house(ring(20, -10, 30, 10)))
    assert problems == []
    assert found.near == 1
    assert found.overhangs == ()
    assert {edge.number for edge in found.edges} == {3}
    assert height_at(found, 90.0) == risen(10, 20)
    assert height_at(found, 116.0) == risen(10, 20 / math.sin(math.radians(64)))
    assert height_at(found, 117.0) is None  # the corner stands at atan(20 / 10) = 63.4°
    assert height_at(found, 63.0) is None
    assert height_at(found, 270.0) is None


def test_a_yard_is_seen_from_inside():
    """The inner ring hides the outer one; without a yard around the subject it stands within."""
    outer = ring(-30, -30, 30, 30)
    found, problems = see(house(outer, ring(-10, -10, 10, 10)))
    assert problems == []
    for azimuth in (0.0, 90.0, 180.0, 270.0):
        assert height_at(found, azimuth) == risen(10, 10)
    for rings in ((outer,), (outer, ring(15, 15, 25, 25))):
        assert see(house(*rings))[1] == ["the subject stands in footprint mill"]


@pytest.mark.parametrize(("west", "is_in"), [(0.2, True), (0.4, False)])
def test_a_face_does_not_touch_a_wall(west, is_in):
    """Thirty centimetres are the nearest."""
    assert bool(see(house(ring(west, -10, 30, 10)))[1]) == is_in


def test_what_stands_on_posts_hangs_over():
    """Open sky is left below its far edge, and above its near one."""
    found, problems = see(house(ring(20, -10, 30, 10), low=4.0, high=8.0))
    assert problems == []
    assert found.edges == ()
    middle = [one for one in found.overhangs if abs(one.azimuth_deg - 90.0) < 1.0]
    assert middle
    assert min(one.under_deg for one in middle) == risen(2.4, 30)
    assert max(one.elevation_deg for one in middle) == risen(6.4, 20)


def test_what_begins_below_the_face_is_a_wall():
    """A slab from a metre up hides all that is low."""
    found, _ = see(house(ring(20, -10, 30, 10), low=1.0))
    assert found.overhangs == ()
    assert height_at(found, 90.0) == risen(10, 20)


def test_a_far_house_sinks_and_a_farther_one_does_not_count():
    """At 4 km by d²(1 - 0.13) / 2R, as in books on levelling; past 5 km none is looked at."""
    sunk = 4000.0**2 * 0.87 / (2 * 6_371_000)
    found, _ = see(house(ring(4000, -10, 4010, 10), high=100.0))
    assert height_at(found, 90.0) == risen(100 - FACE_M - sunk, 4000)
    assert see(house(ring(5001, -10, 5010, 10)), house(ring(4990, -10, 5010, 10)))[0].near == 1


def test_on_terrain_a_house_stands_at_its_lowest_corner():
    """Its outer ring counts: 50 m above the sea in the west, 70 m in the east, the face 31.6 m."""
    step = 0.0001
    north, west = HERE.latitude_deg + 100 * step, HERE.longitude_deg - 100 * step
    heights = np.full((201, 201), 50.0)
    heights[:, 113:] = 70.0  # 13 cells of a ten-thousandth of a degree: 106 m to the east
    tile = Tile(
        name="made.hgt",
        heights_m=heights,
        cells=geographic_cells(north, west, step, step),
        cell_m=11.0,
    )
    block, yard = ring(95, -30, 140, 30), ring(110, -10, 130, 10)
    found, problems = see(house(block, yard, high=10.0), sea_m=31.6, tiles=[tile])
    assert problems == []
    assert height_at(found, 90.0) == risen(50 + 10 - 31.6, 95)
    # Where the tiles know nothing it stands on the subject's own ground.
    beside, _ = see(house(ring(-5, 3000, 5, 3010), high=90.0), sea_m=31.6, tiles=[tile])
    assert height_at(beside, 0.0) == risen(90 - FACE_M - 3000.0**2 * 0.87 / 12_742_000, 3000)
