"""The skyline of terrain: the highest angle along rays over tiles, on the bent earth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sunsched.folder.skyline.tile import Tile
from sunsched.sky.skyline.ground import Station, along_ray, sea_horizon_deg, seen_at_deg
from sunsched.sky.skyline.pieces import Line
from sunsched.sky.track import FloatArray

STEP_DEG = 0.5  # between rays
FARTHEST_M = 150_000.0  # a peak of 1.5 km has sunk below the horizon of an eye at the sea by then
GROWTH = 1.002  # from one place on a ray to the next: a quarter of what lies between two rays
NOWHERE_DEG = -90.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Terrain:
    """What is seen of terrain from an eye: its skyline, and how far it is known in each direction.

    `floor_deg` is the horizon of the sea from there, which no land can stand below.
    """

    line: Line
    floor_deg: float
    ground_m: float
    rays_deg: FloatArray
    known_m: FloatArray


def ground_m(tiles: Sequence[Tile], station: Station) -> float | None:
    """Give the height of the ground above sea; None where no tile knows it."""
    found = heights_m(tiles, np.array([station.latitude_deg]), np.array([station.longitude_deg]))
    return None if np.isnan(found[0]) else float(found[0])


def heights_m(
    tiles: Sequence[Tile], latitude_deg: FloatArray, longitude_deg: FloatArray
) -> FloatArray:
    """Give heights of the ground by the first tile that knows each; nan where none does."""
    heights = np.full(latitude_deg.shape, np.nan)
    for tile in tiles:
        lacks = np.isnan(heights)
        if lacks.any():
            heights[lacks] = tile.at(latitude_deg[lacks], longitude_deg[lacks])
    return heights


def see_terrain(
    number: int, tiles: Sequence[Tile], station: Station, ground: float, face_m: float
) -> Terrain:
    """Look around over the terrain.

    Parameters
    ----------
    number : int
        Which part of the skyline it is.
    tiles : sequence of Tile
        The terrain; where two overlap the first holds.
    station : Station
        Where the subject stands.
    ground : float
        Height of the ground there, above sea, metres.
    face_m : float
        Height of the face above that ground, metres.
    """
    rays = np.arange(0.0, 360.0, STEP_DEG)
    distances = _distances_m(min(tile.cell_m for tile in tiles))
    latitude, longitude = along_ray(station, rays[:, np.newaxis], distances)
    heights = heights_m(tiles, latitude, longitude)
    eye = ground + face_m
    is_known = ~np.isnan(heights)
    seen = np.where(is_known, seen_at_deg(eye, heights, distances), NOWHERE_DEG)
    top = seen.max(axis=1)
    last = is_known.shape[1] - 1 - is_known[:, ::-1].argmax(axis=1)
    known = np.where(is_known.any(axis=1), distances[last], 0.0)
    line = Line(
        number=number,
        start_deg=0.0,
        along_deg=np.append(rays, 360.0),
        height_deg=np.append(top, top[0]),
    )
    return Terrain(
        line=line,
        floor_deg=sea_horizon_deg(eye),
        ground_m=ground,
        rays_deg=rays,
        known_m=known,
    )


def _distances_m(cell_m: float) -> FloatArray:
    """Give where rays are looked at: every half cell, then ever farther apart."""
    step = cell_m / 2
    near = np.arange(cell_m, step / (GROWTH - 1), step)
    count = int(np.log(FARTHEST_M / near[-1]) / np.log(GROWTH))
    return np.concatenate((near, near[-1] * GROWTH ** np.arange(1, max(1, count))))
