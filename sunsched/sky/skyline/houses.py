"""Houses by their footprints: walls in space, and what stands on posts as overhangs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sunsched.day.skyline import HorizonPoint
from sunsched.folder.skyline.footprints import Footprint
from sunsched.folder.skyline.tile import Tile
from sunsched.folder.text.findings import Findings, Where
from sunsched.sky.skyline.ground import BENT_EARTH_M, Station, east_north_m
from sunsched.sky.skyline.pieces import Edge, distance_to_m
from sunsched.sky.skyline.terrain import heights_m
from sunsched.sky.skyline.walls import edges_of, is_inside, slab_points

FARTHEST_M = 5_000.0  # a house of 20 m is then a quarter of a degree high
NEAREST_M = 0.3  # a face does not come nearer to a wall


@dataclass(frozen=True, slots=True, kw_only=True)
class Houses:
    """What is seen of footprints: edges, overhangs, and how many of them are near enough."""

    edges: tuple[Edge, ...]
    overhangs: tuple[HorizonPoint, ...]
    near: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Eye:
    """A subject's face: where it is, and its height above its ground and above sea, metres.

    The height above sea is None where no terrain tells it.
    """

    station: Station
    face_m: float
    sea_m: float | None
    tiles: Sequence[Tile]


def see_houses(
    number: int, footprints: Sequence[Footprint], eye: Eye, where: Where, findings: Findings
) -> Houses:
    """Look around at houses; all stand on the ground of the tiles, or else on the subject's.

    Parameters
    ----------
    number : int
        Which part of the skyline they are.
    footprints : sequence of Footprint
        The houses.
    eye : Eye
        What they are seen from.
    where : Where
        What names the file, for faults.
    findings : Findings
        Where faults are noted.
    """
    edges: list[Edge] = []
    overhangs: list[HorizonPoint] = []
    near = 0
    for place, house in enumerate(footprints, start=1):
        rings = [_ring(eye.station, ring) for ring in house.rings]
        outer = rings[0]
        sides = zip(outer, [*outer[1:], outer[0]], strict=True)
        reach = min(distance_to_m((*one, 0.0), (*other, 0.0)) for one, other in sides)
        if reach > FARTHEST_M:
            continue
        near += 1
        base = _base_m(house, eye, reach)
        low, high = base + house.low_m, base + house.high_m
        if house.low_m > 0 and low > 0:
            overhangs += slab_points(outer, low, high, f"footprint {place}")
            continue
        in_yard = any(is_inside(ring) for ring in rings[1:])
        if reach < NEAREST_M or (is_inside(outer) and not in_yard):
            findings.fault(
                where,
                f"the subject stands in footprint {house.name}",
                expected="a spot outside it",
                hint="give the spot its own `latitude_deg` and `longitude_deg`, or its "
                "`subject_distance_m` and `subject_bearing`; or take the footprint out",
            )
            continue
        for ring in rings:
            edges += edges_of(number, [(east, north, high) for east, north in [*ring, ring[0]]])
    return Houses(edges=tuple(edges), overhangs=tuple(overhangs), near=near)


def _ring(station: Station, ring: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    latitude, longitude = np.array(ring).T
    east, north = east_north_m(station, latitude, longitude)
    return list(zip(east.tolist(), north.tolist(), strict=True))


def _base_m(house: Footprint, eye: Eye, reach_m: float) -> float:
    """Give how high the ground of a house is above the face, sunk by the bent earth."""
    sunk = reach_m**2 / (2 * BENT_EARTH_M)
    if eye.sea_m is not None:
        latitude, longitude = np.array(house.rings[0]).T
        ground = heights_m(eye.tiles, latitude, longitude)
        if not np.isnan(ground).all():
            return float(np.nanmin(ground)) - eye.sea_m - sunk
    return -eye.face_m - sunk
