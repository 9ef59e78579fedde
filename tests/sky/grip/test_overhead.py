"""The shadow of an overhead, against rays from the sun's disc and a table worked out elsewhere."""

from datetime import datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sunsched.day.model import Place
from sunsched.sky.grip.overhead import (
    LEAST_MIN,
    REACH,
    Overhead,
    covered_min,
    covers,
    shade,
    shadow_path_m,
    walk_m_min,
)
from sunsched.sky.track import solar_position

FOOT_M = 0.3048
CAPE = Place(
    name="", latitude_deg=36.9, longitude_deg=11.0, elevation_m=0.0, timezone="Africa/Tunis"
)


def sun(clock, minutes):
    """Give height and bearing of the sun at each minute of 15 June 2027 from a time on."""
    start = datetime.combine(datetime(2027, 6, 15).date(), clock, tzinfo=CAPE.zone)  # noqa: DTZ001
    azimuth, _, apparent = solar_position(CAPE, start.timestamp() + 60.0 * np.arange(minutes))
    return apparent, azimuth


@pytest.mark.parametrize(
    ("clock", "large", "small"),
    [
        ("08:20", (59, 140), (24, 50)),
        ("11:45", (124, 229), (56, 112)),
        ("16:25", (36, 59), (18, 31)),
        ("18:10", (7, 12), (3, 5)),
    ],
)
def test_how_long_a_frame_covers(clock, large, small):
    """12 by 12 and 8 by 8 feet, 2.5 m over the face, a subject of 1.2 m: centred, and led.

    A calculation elsewhere, which sets a led frame ahead along the first minute's walk alone, and
    so has up to two minutes less.
    """
    heights, bearings = sun(datetime.strptime(clock, "%H:%M").time(), 300)  # noqa: DTZ007
    for feet, (centred, led) in ((12, large), (8, small)):
        frame = Overhead(side_m=feet * FOOT_M, above_m=2.5)
        assert covered_min(frame, 1.2, heights, bearings) == centred
        found = covered_min(frame, 1.2, heights, bearings, is_led=True)
        assert led <= found <= led + 2


def test_where_it_stands():
    """Offset of a frame 2.5 m over the face: 3.21 m at 08:20, 9.3 to 14.9 m from 18:10 to 18:40."""
    frame = Overhead(side_m=12 * FOOT_M, above_m=2.5)
    for clock, offset in (("08:20", 3.21), ("18:10", 9.3), ("18:40", 14.9)):
        heights, _ = sun(datetime.strptime(clock, "%H:%M").time(), 1)  # noqa: DTZ007
        assert shade(frame, float(heights[0])).offset_m == pytest.approx(offset, rel=0.01)


@pytest.mark.parametrize(
    ("height_deg", "across_mm", "along_mm"), [(10, 54, 309), (30, 19, 37), (60, 11, 12)]
)
def test_the_soft_edge(height_deg, across_mm, along_mm):
    """The sun's disc of 32.0′ on level ground, for each metre of height (Supplement, 12.3.3)."""
    frame = Overhead(side_m=20.0, above_m=1.0)
    found = shade(frame, height_deg)
    assert 1000 * (frame.cloth_m - found.across_m) == pytest.approx(across_mm, abs=0.6)
    assert 1000 * (frame.cloth_m - found.along_m) == pytest.approx(along_mm, abs=1.5)


@settings(max_examples=50, deadline=None)
@given(st.floats(8, 85), st.floats(1, 6), st.floats(1.5, 8))
def test_full_shadow_by_rays(height_deg, side_m, above_m):
    """Rays from all round the sun's disc through the edges of the cloth leave as much in shadow."""
    frame = Overhead(side_m=side_m, above_m=above_m)
    found, radius = shade(frame, height_deg), np.degrees(0.0093) / 2
    part = np.linspace(0, 2 * np.pi, 361)
    h = np.radians(height_deg + radius * np.sin(part))
    turned = np.radians(radius * np.cos(part) / np.cos(np.radians(height_deg)))
    # How far each ray throws the shadow, along and across the bearing of the sun's middle.
    along, across = (above_m / np.tan(h) * one for one in (np.cos(turned), np.sin(turned)))
    left_along, left_across = (frame.cloth_m - np.ptp(one) for one in (along, across))
    near = {"rel": 0.01, "abs": 0.01 * above_m}
    assert found.along_m == pytest.approx(max(0, left_along), **near)
    assert found.across_m == pytest.approx(max(0, left_across), **near)


def test_the_walk_is_a_vector():
    """Near noon the part across is the larger one; both are the first step of the path."""
    heights, bearings = sun(datetime.strptime("11:45", "%H:%M").time(), 2)  # noqa: DTZ007
    frame = Overhead(side_m=3.66, above_m=2.5)
    rise, turn = heights[1] - heights[0], bearings[1] - bearings[0]
    along, across, both = walk_m_min(frame, float(heights[0]), float(rise), float(turn))
    path_along, path_across = shadow_path_m(frame, heights, bearings)
    assert abs(across) > 2 * abs(along)
    assert along == pytest.approx(path_along[1], rel=0.03)
    assert across == pytest.approx(path_across[1], rel=0.03)
    assert both == pytest.approx(np.hypot(along, across))


@pytest.mark.parametrize("side_m", [1.6, 1.8, 2.0, 2.4, 3.66])
def test_of_use_is_what_can_stand_there_and_holds_a_while(side_m):
    """At every fifth minute of a day: near enough, and led it covers for ten minutes or more."""
    heights, bearings = sun(datetime.strptime("06:00", "%H:%M").time(), 12 * 60)  # noqa: DTZ007
    frame = Overhead(side_m=side_m, above_m=2.5)
    found = covers(frame, 1.2, heights, bearings)
    for minute in range(0, len(heights) - LEAST_MIN - 1, 5):
        led = covered_min(frame, 1.2, heights[minute:], bearings[minute:], is_led=True)
        is_near = shade(frame, float(heights[minute])).offset_m <= REACH * frame.above_m
        # What is asked of both ends of the ten minutes is a little more than of the path.
        assert found[minute] <= (is_near and led >= LEAST_MIN)
        assert found[minute] >= (is_near and led >= LEAST_MIN + 2)
    assert side_m == 1.6 or found.any()
    assert not found.all()


@pytest.mark.parametrize(("spare_m", "is_of_use"), [(0.5, True), (-0.5, False)])
def test_of_use_as_the_bearing_turns(spare_m, is_of_use):
    """At a steady 30° the shadow walks on a circle: across it by its radius times a sine.

    `spare_m` is what is left of the hard-edged part, in soft edges of h × 0.0093 / sin 30°.
    """
    count = LEAST_MIN + 1
    heights, bearings = np.full(count, 30.0), 180.0 + np.linspace(0.0, 6.0, count)
    across_m, soft_m = 2.5 * 3**0.5 * np.sin(np.radians(6.0)), 2.5 * 0.0093 / 0.5
    frame = Overhead(side_m=3.66, above_m=2.5)
    subject_m = frame.cloth_m - across_m - (1 + spare_m) * soft_m
    assert covers(frame, subject_m, heights, bearings)[0] == is_of_use


@pytest.mark.parametrize(("spare_m", "is_of_use"), [(0.02, True), (-0.02, False)])
def test_of_use_under_the_zenith(spare_m, is_of_use):
    """A sun that passes beside the zenith turns far, and its shadow walks straight on all the same.

    East to west along the plane at height 1, `beside` south of the zenith.
    """
    beside, east = 0.03, np.linspace(0.02, -0.02, LEAST_MIN + 1)
    heights = np.degrees(np.arctan2(1.0, np.hypot(beside, east)))
    bearings = np.degrees(np.arctan2(east, -beside)) % 360.0
    # Along and across the first bearing of the sun, which is 34° from the south.
    first = np.array([east[0], -beside]) / np.hypot(beside, east[0])
    step = 2.5 * np.array([east[-1] - east[0], 0.0])
    along_m, across_m = abs(step @ first), abs(step @ np.array([-first[1], first[0]]))
    frame = Overhead(side_m=3.66, above_m=2.5)
    soft_m = 2.5 * 0.0093
    subject_m = frame.cloth_m - max(along_m, across_m) - soft_m - spare_m
    assert covers(frame, subject_m, heights, bearings)[0] == is_of_use


def test_what_never_covers():
    """A frame smaller than the subject, and a sun that is down."""
    heights, bearings = np.full(10, 40.0), np.full(10, 180.0)
    small = Overhead(side_m=1.2, above_m=2.5)
    assert covered_min(small, 1.2, heights, bearings) == 0
    large = Overhead(side_m=6.0, above_m=2.5)
    assert covered_min(large, 1.2, heights, bearings) == 10
    assert covered_min(large, 1.2, -heights, bearings) == 0
    setting = np.array([3.0, 1.0, -1.0])
    assert covered_min(large, 0.1, setting, bearings[:3]) <= 2
