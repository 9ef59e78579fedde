"""Ridges by angles and by the sun: the sun that made a note passes there again."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from sunsched.day.model import Place
from sunsched.day.skyline import HorizonPoint, Level, SunNote
from sunsched.sky.horizon import direct_share, direct_spans, horizon_deg
from sunsched.sky.skyline.envelope import skyline_of
from sunsched.sky.skyline.ridge import Point, level_line, ridge_lines, sun_point
from sunsched.sky.track import sun_track

VALLEY = Place(
    name="Valley",
    latitude_deg=46.3,
    longitude_deg=13.6,
    elevation_m=500,
    timezone="Europe/Ljubljana",
)


def made(lines):
    """Give the skyline of lines over a level horizon."""
    return tuple(
        HorizonPoint(azimuth_deg=azimuth, elevation_deg=height)
        for azimuth, height, _ in skyline_of(lines, 0.0, 0.0)
    )


def noted(*points):
    """Give noted points by azimuth and elevation."""
    return [Point(azimuth_deg=azimuth, elevation_deg=height) for azimuth, height in points]


def test_near_points_are_joined_and_far_ones_are_two_ridges():
    """Straight in angle between them, level for 15° past the ends, across north too."""
    points = made(ridge_lines(0, noted((100, 15), (340, 8), (130, 21), (10, 12))))
    asked = [86, 100, 110, 130, 144, 200, 326, 340, 355, 10, 24, 40]
    expected = [15, 15, 17, 21, 21, 0, 8, 8, 10, 12, 12, 0]
    assert horizon_deg(points, asked) == pytest.approx(expected, abs=0.01)


def test_points_all_around_are_one_ridge():
    """Without a gap of more than 45° nothing is level."""
    lines = ridge_lines(0, noted(*((azimuth, 5 + azimuth / 60) for azimuth in range(20, 380, 40))))
    assert len(lines) == 1
    assert horizon_deg(made(lines), [0, 20, 40]) == pytest.approx(
        [(5 + 340 / 60 + 5 + 20 / 60) / 2, 5 + 20 / 60, 5 + 40 / 60], abs=0.01
    )
    assert ridge_lines(0, []) == []


def test_a_level_note_stands_between_its_bearings_alone():
    """`350..20:15` has two vertical edges."""
    points = made([level_line(0, Level(told="", azimuths_deg=(350, 20), elevation_deg=15))])
    assert horizon_deg(points, [349.9, 350.1, 0, 19.9, 20.1]) == pytest.approx([0, 15, 15, 15, 0])


@pytest.mark.parametrize("is_whole", [False, True])
def test_the_sun_comes_over_the_ridge_when_it_was_noted(is_whole):
    """From a clock time to a skyline and back: to the second, for its edge or the whole disc."""
    when = datetime(2026, 11, 2, 8, 40, tzinfo=UTC)
    point = sun_point(VALLEY, SunNote(told="", when=when, is_whole=is_whole))
    assert 140 < point.azimuth_deg < 150
    ridge = made(ridge_lines(0, [point]))
    track = sun_track(VALLEY, when - timedelta(hours=3), when + timedelta(hours=3))
    span = direct_spans(ridge, track)[0]
    share = direct_share(ridge, track)[track.minute_of(when)]
    if is_whole:
        assert share == pytest.approx(1.0, abs=1e-6)
        assert timedelta(minutes=2) < when - span.start < timedelta(minutes=8)
    else:
        assert share == pytest.approx(0.0, abs=1e-6)
        assert abs(span.start - when) < timedelta(seconds=2)


@pytest.mark.parametrize("latitude_deg", [46.3, -46.3])
@pytest.mark.parametrize("month", [1, 6])
def test_what_hid_the_sun_since_it_rose_is_level(latitude_deg, month):
    """One note in the morning says that there was no sun before it; one in the evening, none after.

    In the south the sun goes the other way round.
    """
    place = replace(VALLEY, latitude_deg=latitude_deg)
    noon = datetime(2026, month, 2, 11, 10, tzinfo=UTC)
    hours = timedelta(hours=2.5)
    points = [
        sun_point(place, SunNote(told="", when=when, comes=comes))
        for when, comes in ((noon - hours, True), (noon + hours, False))
    ]
    track = sun_track(place, noon - timedelta(hours=11), noon + timedelta(hours=11))
    [span] = direct_spans(made(ridge_lines(0, points)), track)
    assert abs(span.start - (noon - hours)) < timedelta(seconds=10)
    assert abs(span.end - (noon + hours)) < timedelta(seconds=10)


def test_a_ridge_goes_round_no_more_than_once():
    """Where it was held past its ends to more than a circle, it meets itself in the middle."""
    points = [
        Point(azimuth_deg=20.0, elevation_deg=5.0, hidden_deg=-40.0),
        *noted(*((azimuth, 5.0) for azimuth in range(60, 301, 40))),
        Point(azimuth_deg=320.0, elevation_deg=5.0, hidden_deg=10.0),
    ]
    (line,) = ridge_lines(0, points)
    # 60 degrees are left between 320 and 20: 55 and 25 were asked for, and share them so.
    assert line.along_deg[-1] == pytest.approx(360.0)
    assert line.start_deg == pytest.approx((20.0 - 60.0 * 55.0 / 80.0) % 360.0)
