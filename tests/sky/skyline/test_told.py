"""A skyline from words, for programs: what the command makes, or all that is wrong with it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

import sunsched
from sunsched.day.skyline import Subject
from sunsched.sky.horizon import horizon_deg
from sunsched.sky.skyline.peaks import highest

DAY = sunsched.example_day()
SPOT = DAY.spots[0].name


def test_the_points_are_a_spots_horizon():
    """They can be put into the day, which is judged by them."""
    told = [("wall", "from 60 to 120, 20 m away, 12 m high"), ("note", "250..300:20")]
    made = sunsched.told_skyline(DAY, SPOT.upper(), told)
    spot = replace(DAY.spots[0], horizon=made.points)
    walled = replace(DAY, spots=(spot, *DAY.spots[1:]))
    sunsched.check_day(walled)
    assert horizon_deg(spot.horizon, [90, 275]) == pytest.approx([27.47, 20], abs=0.01)
    assert [point.azimuth_deg for point in highest(made.points)] == pytest.approx(
        [90, 275], abs=0.5
    )
    assert [one.told for one in made.seen] == [told[0][1], "250..300:20"]


def test_the_skyline_is_the_subjects():
    """The wall 20 m to the east of the spot is 10 m from a subject who stands 10 m nearer."""
    subject = Subject(distance_m=10, bearing_deg=90, height_m=2)
    day = replace(DAY, spots=(replace(DAY.spots[0], subject=subject), *DAY.spots[1:]))
    made = sunsched.told_skyline(day, SPOT, [("wall", "from 60 to 120, 20 m away, 12 m high")])
    assert horizon_deg(made.points, 90) == pytest.approx(45, abs=0.01)


@pytest.mark.parametrize("bearing", [0, 90, 180, 270])
def test_without_a_word_the_subject_stands_at_the_camera(bearing):
    """A wall 20 m away and 12 m high stands atan((12 - 1.6) / 20) high, on whichever side."""
    left, right = (bearing - 30) % 360, (bearing + 30) % 360
    told = [("wall", f"from {left} to {right}, 20 m away, 12 m high")]
    made = sunsched.told_skyline(DAY, SPOT, told)
    expected = math.degrees(math.atan((12 - 1.6) / 20))
    assert horizon_deg(made.points, bearing) == pytest.approx(expected, abs=0.005)


def test_each_part_is_told_by_itself():
    """A wall by where it stands and how high; a roof also by how low it comes: far lower edge."""
    told = [
        ("wall", "from 60 to 120, 20 m away, 12 m high"),
        ("roof", "from 160 to 200, 4 m to 10 m away, 3 m to 5 m high"),
        ("note", "300:12"),
    ]
    wall, roof, note = sunsched.told_skyline(DAY, SPOT, told).seen
    assert wall.span_deg == pytest.approx((60, 120))
    assert wall.under_deg is None
    assert (wall.azimuth_deg, wall.elevation_deg) == pytest.approx((90, 27.47), abs=0.01)
    assert roof.span_deg == pytest.approx((160, 200))
    far = math.degrees(math.atan((3 - 1.6) / (10 / math.cos(math.radians(20)))))
    assert roof.under_deg == pytest.approx(far, abs=0.01)
    near = math.degrees(math.atan((5 - 1.6) / 4))
    assert roof.elevation_deg == pytest.approx(near, abs=0.01)
    assert (note.azimuth_deg, note.elevation_deg) == (300, 12)
    assert (note.span_deg, note.under_deg) == (None, None)


def test_peaks_have_a_dip_between_them():
    """A level one is told once, by its middle; five at most, the highest first."""
    told = [
        ("note", f"{start}..{start + 20}:{height}")
        for start, height in zip(range(0, 360, 45), (5, 9, 30, 12, 11, 8, 7, 6), strict=True)
    ]
    found = highest(sunsched.told_skyline(DAY, SPOT, told).points)
    assert [round(point.elevation_deg) for point in found] == [30, 12, 11, 9, 8]
    assert [point.azimuth_deg for point in found] == pytest.approx(
        [100, 145, 190, 55, 235], abs=0.5
    )
    level = sunsched.told_skyline(DAY, SPOT, [("note", "10..10:20")])
    assert len(highest(level.points)) == 1


def test_all_that_is_wrong_is_raised():
    """Every fault of what was told at once; another spot or kind by itself."""
    told = [("note", "x"), ("wall", "from 1 to 2"), ("terrain", "there.hgt")]
    with pytest.raises(sunsched.FolderError) as raised:
        sunsched.told_skyline(DAY, SPOT, told, "/nowhere")
    assert [fault.file for fault in raised.value.faults] == ["--note", "--wall", "--terrain"]
    assert raised.value.faults[2].hint == "there is no folder `/nowhere`"
    with pytest.raises(sunsched.SunschedError, match="no spot `moon`"):
        sunsched.told_skyline(DAY, "moon", [])
    with pytest.raises(sunsched.SunschedError, match="did you mean `wall`"):
        sunsched.told_skyline(DAY, SPOT, [("walls", "from 1 to 2")])
