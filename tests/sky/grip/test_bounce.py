"""What a board gives, against a sum over its area and the catalogue of configuration factors."""

from math import atan, pi, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sunsched.sky.daylight.exposure import stops_between
from sunsched.sky.grip.bounce import (
    Board,
    bounced_klx,
    direction,
    form_factor,
    half_way,
    tipped_gain_stops,
)

FOOT_M = 0.3048


@pytest.mark.parametrize(
    ("feet", "distance_m", "stops"), [(20, 2, 1.02), (12, 2, 1.50), (12, 5, 3.43)]
)
def test_levels_of_near_boards(feet, distance_m, stops):
    """Stops under the sun, ρ 0.8, 30° in and 30° out: worked out elsewhere by Lambert's sum."""
    board = Board(side_m=feet * FOOT_M, reflectance=0.8)
    found = bounced_klx(board, distance_m, 95.0, direction(0, 60), direction(0, 0))
    assert stops_between(95.0, found) == pytest.approx(stops, abs=0.005)


@pytest.mark.parametrize("x", [0.1, 0.5, 1.0, 3.0])
def test_a_board_square_on(x):
    """(4/π) s arctan s, s = X/√(1+X²): square to a small parallel plane (Howell's catalogue)."""
    half = np.array([[x, x, 0], [x, -x, 0], [-x, -x, 0], [-x, x, 0]], dtype=float)
    s = x / sqrt(1 + x * x)
    found = form_factor(half, np.array([0.0, 0.0, 1.0]))
    assert found == pytest.approx(4 / pi * s * atan(s), rel=1e-9)


@settings(max_examples=25, deadline=None)
@given(st.floats(10, 80), st.floats(0, 120), st.floats(1, 4), st.floats(3, 9))
def test_a_board_by_small_pieces(height_deg, turned_deg, side_m, distance_m):
    """The sum over its edges is that over its area: cos θ cos θ′ / π r² of every piece."""
    sun, subject = direction(turned_deg, height_deg), direction(0, 0)
    board = Board(side_m=side_m, reflectance=1.0)
    aim = half_way(sun, subject)
    normal = direction(aim.bearing_deg, aim.tilt_deg)
    level = np.cross(normal, [0.0, 0.0, 1.0])
    level /= np.linalg.norm(level)
    upward = np.cross(level, normal)
    steps = (np.arange(80) + 0.5) / 80 - 0.5
    total = 0.0
    for u in steps:
        at = side_m * (u * level + steps[:, None] * upward) - distance_m * subject
        length = np.linalg.norm(at, axis=1)
        rays = at / length[:, None]
        cosines = np.maximum(0, -(rays @ normal)) * np.maximum(0, -(rays @ subject))
        total += float((cosines / (pi * length**2)).sum()) * (side_m / 80) ** 2
    found = bounced_klx(board, distance_m, 1.0, sun, subject)
    assert found == pytest.approx(total * float(normal @ sun), rel=2e-3)


@pytest.mark.parametrize(("height_deg", "stops"), [(60, 0.58), (70, 0.97), (75, 1.28), (80, 1.76)])
def test_a_board_tipped_toward_a_high_sun(height_deg, stops):
    """About a stop at a high sun (common practice, no source); by cosines, 0.97 at 70°."""
    assert tipped_gain_stops(height_deg) == pytest.approx(stops, abs=0.005)
    sun, subject = direction(0, height_deg), direction(0, 0)
    aim = half_way(sun, subject)
    tipped = direction(aim.bearing_deg, aim.tilt_deg)
    gain = (tipped @ sun) * (tipped @ subject) / ((subject @ sun) * 1.0)
    assert np.log2(gain) == pytest.approx(stops, abs=0.005)


@given(st.floats(0, 360), st.floats(5, 85), st.floats(0, 360))
def test_a_mirror_throws_to_the_subject(bearing_deg, height_deg, subject_deg):
    """The law of reflection: what comes from the sun leaves toward the subject."""
    sun, subject = direction(bearing_deg, height_deg), direction(subject_deg, 0)
    aim = half_way(sun, subject)
    normal = direction(aim.bearing_deg, aim.tilt_deg)
    thrown = 2 * (normal @ sun) * normal - sun
    assert thrown == pytest.approx(subject, abs=1e-6)


def test_a_mirror_keeps_the_beam():
    """Whatever the distance; a matt board at its place gives far less."""
    mirror = Board(side_m=1.2, reflectance=0.85, is_mirror=True)
    sun, subject = direction(0, 40), direction(90, 0)
    assert bounced_klx(mirror, 20.0, 80.0, sun, subject) == pytest.approx(68.0)


def test_nothing_is_thrown_away_from_the_sun():
    """Exactly opposite no plane lies half-way."""
    with pytest.raises(ValueError, match="exactly away"):
        half_way(direction(0, 0), direction(180, 0))
