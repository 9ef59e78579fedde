"""The skyline of terrain: a sphere, a cone and what is not known."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sunsched.folder.skyline.tile import METRES_A_DEGREE, Tile, geographic_cells
from sunsched.sky.skyline.ground import Station, east_north_m, sea_horizon_deg
from sunsched.sky.skyline.terrain import ground_m, heights_m, see_terrain

HERE = Station(latitude_deg=0.5, longitude_deg=20.5)


def tile(height_of, half_m, cell_m):
    """Give a tile around here whose height is a function of metres east and north."""
    step = cell_m / METRES_A_DEGREE
    count = 2 * int(half_m / cell_m) + 1
    north = HERE.latitude_deg + (count // 2) * step
    west = HERE.longitude_deg - (count // 2) * step
    latitude = north - step * np.arange(count)[:, np.newaxis]
    longitude = west + step * np.arange(count)[np.newaxis, :]
    east, up = east_north_m(HERE, *np.broadcast_arrays(latitude, longitude))
    return Tile(
        name="made.hgt",
        heights_m=height_of(east, up),
        cells=geographic_cells(north, west, step, step),
        cell_m=cell_m,
    )


def sea(east, north):
    """Give a sea all around."""
    return np.zeros(np.broadcast(east, north).shape)


def test_a_sphere_has_its_dip_all_around():
    """From 100 m over a sea of 80 km the horizon stands 0.30° low: acos R/(R + h), bent earth."""
    found = see_terrain(0, [tile(sea, 80_000, 400)], HERE, 98.4, 1.6)
    assert found.line.height_deg == pytest.approx(np.full(721, sea_horizon_deg(100.0)), abs=5e-4)
    assert found.floor_deg == pytest.approx(-0.2994, abs=1e-4)


def test_a_sea_that_ends_with_its_tile_goes_on():
    """A tile of 5 km does not end the world: no land stands below the sea's horizon."""
    found = see_terrain(0, [tile(sea, 5_000, 100)], HERE, 998.4, 1.6)
    assert found.line.height_deg.max() < -7
    assert found.floor_deg == pytest.approx(-1.76 / 60 * math.sqrt(1000), rel=0.03)
    assert found.known_m.min() == pytest.approx(5_000, rel=0.02)
    assert found.known_m.max() == pytest.approx(5_000 * math.sqrt(2), rel=0.02)


def test_a_cone_has_its_outline():
    """Seen from the plain a cone of height H and radius r at a distance D rises to
    tan h = H/r sin(asin(r/D) - |azimuth|): the tangent planes through the eye, in closed form.
    """
    height, radius, distance = 500.0, 1_200.0, 3_000.0
    azimuth = math.radians(60)

    def cone(east, north):
        away = np.hypot(east - distance * math.sin(azimuth), north - distance * math.cos(azimuth))
        return np.maximum(0.0, height * (1 - away / radius))

    found = see_terrain(0, [tile(cone, 5_000, 10)], HERE, 0.0, 0.0)
    off = np.radians(np.arange(-23.0, 23.1, 0.5))
    wide = math.asin(radius / distance)
    expected = np.degrees(np.arctan(height / radius * np.sin(wide - np.abs(off))))
    seen = found.line.at(np.degrees(azimuth + off))
    assert seen == pytest.approx(expected, abs=0.06)
    # Cells of 10 m blunt the peak by up to 0.055°, and the earth sinks it by 0.012°.
    assert found.line.at(np.array([60.0]))[0] == pytest.approx(9.462, abs=0.068)
    assert expected[46] == pytest.approx(math.degrees(math.atan(500 / 3000)), abs=1e-9)


def test_voids_and_what_lies_outside_are_not_known():
    """Nothing is made up for them; a second tile fills what the first does not know."""
    step = 0.01
    cells = geographic_cells(1.0, 20.0, step, step)
    first, second = np.full((101, 101), 7.0), np.full((101, 101), 9.0)
    first[:, 40:60] = np.nan
    one = Tile(name="a", heights_m=first, cells=cells, cell_m=1112)
    other = Tile(name="b", heights_m=second, cells=cells, cell_m=1112)
    where = np.array([0.5, 0.5, 5.0]), np.array([20.1, 20.5, 20.5])
    assert heights_m([one], *where) == pytest.approx([7, np.nan, np.nan], nan_ok=True)
    assert heights_m([one, other], *where) == pytest.approx([7, 9, np.nan], nan_ok=True)
    assert ground_m([one], HERE) is None
    assert ground_m([one, other], HERE) == 9
