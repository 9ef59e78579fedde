"""Walls, corners, slabs and what they look like together, by plane trigonometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
from pvlib.shading import masking_angle

from sunsched.day.skyline import Corner, HorizonPoint
from sunsched.sky.horizon import horizon_deg, overhangs_deg
from sunsched.sky.skyline.envelope import skyline_of
from sunsched.sky.skyline.pieces import Edge, Line, distance_to_m, edge_between
from sunsched.sky.skyline.walls import corner_at, edges_of, is_inside, slab_points


def made(pieces, floor_deg=0.0, north_deg=0.0):
    """Give the points of the skyline of pieces."""
    return [
        HorizonPoint(azimuth_deg=azimuth, elevation_deg=height)
        for azimuth, height, _ in skyline_of(pieces, floor_deg, north_deg)
    ]


def wall(*corners, face_m=0.0, away_m=(0.0, 0.0)):
    """Give the edges of a wall by bearings, distances and heights of its corners."""
    told = [Corner(azimuth_deg=a, distance_m=d, height_m=h) for a, d, h in corners]
    return list(edges_of(0, [corner_at(one, away_m, face_m) for one in told]))


def test_a_wall_has_its_profile_and_vertical_edges():
    """12 m at 20 m: tan h = 12/20 cos(azimuth from square on), and nothing beside it."""
    far = 20 * math.sqrt(2)
    points = made(wall((45, far, 12), (135, far, 12)))
    inside = np.arange(45.5, 135, 0.7)
    expected = np.degrees(np.arctan(0.6 * np.cos(np.radians(inside - 90))))
    assert horizon_deg(points, inside) == pytest.approx(expected, abs=0.006)
    assert horizon_deg(points, [44.99, 135.01, 300]).tolist() == [0, 0, 0]
    # The masking angle of an upright row is that of the wall where it is square on.
    assert horizon_deg(points, 90) == pytest.approx(float(masking_angle(90, 12 / 20, 0)), abs=0.01)


def test_a_corner_is_where_two_walls_meet():
    """In a square court of 40 m the corners are 28.3 m away: 23.0°, between sides of 31.0°."""
    far = 20 * math.sqrt(2)
    points = made(wall(*((azimuth, far, 12) for azimuth in (315, 45, 135, 225, 315))))
    corner, side = math.degrees(math.atan(12 / far)), math.degrees(math.atan(0.6))
    assert horizon_deg(points, [45, 135, 225, 315]) == pytest.approx([corner] * 4, abs=0.01)
    assert horizon_deg(points, [0, 90, 180, 270]) == pytest.approx([side] * 4, abs=0.01)
    azimuths = [point.azimuth_deg for point in points]
    assert len(azimuths) == len(set(azimuths))  # no vertical edge where walls meet


def test_the_subject_stands_elsewhere():
    """A wall 12 m to the north, as it is seen from 4 m nearer and 1.6 m up."""
    side = 12 / math.cos(math.radians(40))
    moved = wall((320, side, 6), (40, side, 6), face_m=1.6, away_m=(0.0, 4.0))
    top = math.degrees(math.atan((6 - 1.6) / 8))
    assert horizon_deg(made(moved), 0) == pytest.approx(top, abs=0.01)
    end = math.degrees(math.atan2(12 * math.tan(math.radians(40)), 8))
    beside = horizon_deg(made(moved), [end - 0.02, end + 0.02])
    assert beside[0] == pytest.approx(math.degrees(math.atan(4.4 / math.hypot(8, 10.07))), abs=0.02)
    assert beside[1] == 0


def test_a_sloping_edge_and_an_angle_alone_are_the_same_line():
    """A straight edge is a great circle: the angles of its ends are enough."""
    ends = (80, 25.0, 12.0), (150, 31.0, 5.0)
    angles = [
        Corner(azimuth_deg=a, elevation_deg=math.degrees(math.atan(h / d))) for a, d, h in ends
    ]
    known = made(wall(*ends))
    by_angle = made(list(edges_of(0, [corner_at(one, (3.0, 9.0), 1.6) for one in angles])))
    asked = np.arange(80.1, 150, 0.3)
    assert horizon_deg(by_angle, asked) == pytest.approx(horizon_deg(known, asked), abs=0.011)


def test_edges_turn_to_have_their_left_end_first():
    """Told from right to left it is the same wall, also across north; end on it is none."""
    left, right = (-5.0, 10.0, 3.0), (5.0, 10.0, 4.0)
    assert edge_between(0, right, left) == edge_between(0, left, right)
    assert edge_between(0, (0.0, 5.0, 1.0), (0.0, 9.0, 1.0)) is None
    assert distance_to_m(left, right) == 10.0
    assert distance_to_m((3.0, 4.0, 0.0), (6.0, 8.0, 0.0)) == 5.0


def random_pieces(seed, count):
    """Draw edges and lines all around."""
    draw = np.random.default_rng(seed)
    pieces: list[Edge | Line] = []
    for number in range(count):
        if draw.random() < 0.7:
            azimuth, wide = draw.uniform(0, 360), draw.uniform(2, 120)
            ends = [
                (d * math.sin(math.radians(a)), d * math.cos(math.radians(a)), h)
                for a, d, h in (
                    (azimuth, draw.uniform(5, 80), draw.uniform(0, 30)),
                    (azimuth + wide, draw.uniform(5, 80), draw.uniform(0, 30)),
                )
            ]
            edge = edge_between(number, ends[0], ends[1])
            assert edge is not None
            pieces.append(edge)
        else:
            along = np.concatenate(([0.0], np.cumsum(draw.uniform(1, 40, 5))))
            pieces.append(
                Line(
                    number=number,
                    start_deg=draw.uniform(0, 360),
                    along_deg=along,
                    height_deg=draw.uniform(0, 30, 6),
                )
            )
    return pieces


@pytest.mark.parametrize("seed", range(12))
def test_the_skyline_is_the_highest_of_all_at_every_azimuth(seed):
    """Against brute force: 5,000 azimuths, each piece asked by itself."""
    pieces = random_pieces(seed, count=2 + 3 * seed)
    north = float(seed)
    points = made(pieces, 2.0, north)
    azimuths = np.random.default_rng(seed).uniform(0, 360, 5_000)
    best = np.full(azimuths.shape, 2.0)
    near_edge = np.zeros(azimuths.shape, dtype=bool)
    for piece in pieces:
        along = (azimuths - piece.start_deg) % 360
        best = np.where(along <= piece.wide_deg, np.maximum(best, piece.at(azimuths)), best)
        near_edge |= (along < 1e-3) | (np.abs(along - piece.wide_deg) < 1e-3)
    found = horizon_deg(points, azimuths)
    assert found[~near_edge] == pytest.approx(best[~near_edge], abs=0.02)
    assert [point.azimuth_deg for point in points] == sorted(point.azimuth_deg for point in points)


def test_few_points_say_it_all():
    """What is level has two edges and no more; a wall is not noted at every half degree."""
    block = Line(
        number=0, start_deg=100, along_deg=np.array([0.0, 30.0]), height_deg=np.array([9.0, 9.0])
    )
    points = [(one.azimuth_deg, one.elevation_deg) for one in made([block])]
    assert (100, 0) in points
    assert (100, 9) in points
    assert points.index((100, 9)) == points.index((100, 0)) + 1
    assert len(points) <= 6


def test_a_slab_is_seen_from_below():
    """4 m to 10 m away, 3 m to 5 m up, 10 m wide: far lower edge, near upper edge."""
    ring = [(-5.0, 4.0), (5.0, 4.0), (5.0, 10.0), (-5.0, 10.0)]
    points = slab_points(ring, 3.0, 5.0, "bridge")
    [(low, high)] = overhangs_deg(points, [0.0, 20.0, 180.0])
    assert low[0] == pytest.approx(math.degrees(math.atan(3 / 10)), abs=0.01)
    assert high[0] == pytest.approx(math.degrees(math.atan(5 / 4)), abs=0.01)
    slant = math.cos(math.radians(20))
    assert low[1] == pytest.approx(math.degrees(math.atan(3 / 10 * slant)), abs=0.02)
    assert high[1] == pytest.approx(math.degrees(math.atan(5 / 4 * slant)), abs=0.02)
    assert np.isnan(low[2])
    assert points[0].azimuth_deg == pytest.approx(360 - math.degrees(math.atan2(5, 4)), abs=0.001)


def test_below_a_slab_the_sky_overhead_is_hidden_all_around():
    """Under a canopy of 12 m by 8 m the sky is open only below its rim."""
    ring = [(-6.0, -4.0), (6.0, -4.0), (6.0, 4.0), (-6.0, 4.0)]
    assert is_inside(ring)
    assert not is_inside([(east + 20, north) for east, north in ring])
    [(low, high)] = overhangs_deg(slab_points(ring, 2.0, 2.5, "c"), [0.0, 90.0, 359.9])
    assert high.tolist() == [90, 90, 90]
    rims = [math.degrees(math.atan(2 / 4)), math.degrees(math.atan(2 / 6))]
    assert low == pytest.approx([*rims, rims[0]], abs=0.01)


@pytest.mark.parametrize("turn", [0.0, 100.0, 261.0])
def test_a_wall_is_looked_at_where_it_is_nearest(turn):
    """At its ends and square on, 20 m away; not behind the subject, nor beside the wall."""
    angle = math.radians(turn)

    def space(across, away):
        east = across * math.cos(angle) + away * math.sin(angle)
        return east, away * math.cos(angle) - across * math.sin(angle), 5.0

    ends = [math.degrees(math.atan2(across, 20)) + turn for across in (-10, 20)]
    whole = Edge(number=0, left=space(-10, 20), right=space(20, 20))
    expected = sorted(one % 360 for one in (*ends, turn))
    assert sorted(whole.breaks_deg.tolist()) == pytest.approx(expected, abs=1e-9)
    beside = Edge(number=0, left=space(5, 20), right=space(20, 20))
    assert len(beside.breaks_deg) == 2


def test_a_straight_slope_has_its_ends_alone():
    """Long or short, what is straight in angle needs no points between."""
    for wide in (0.8, 12.0, 120.0):
        slope = Line(
            number=0,
            start_deg=40.0,
            along_deg=np.array([0.0, wide]),
            height_deg=np.array([10.0, 25.0]),
        )
        inside = [one for one in made([slope]) if one.elevation_deg > 0.0]
        assert [(one.azimuth_deg, one.elevation_deg) for one in inside] == [
            pytest.approx((40.0, 10.0), abs=0.01),
            pytest.approx((40.0 + wide, 25.0), abs=0.01),
        ]
