"""Ridges known by angles: a clinometer's notes, and the times at which the sun passed them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sunsched.day.model import Place
from sunsched.day.skyline import Level, SunNote
from sunsched.sky.horizon import SEMIDIAMETER_DEG
from sunsched.sky.skyline.pieces import Line
from sunsched.sky.track import sun_at

# Common practice, no source: nobody climbs a ridge to note every degree of it.
JOINED_DEG = 45.0  # two noted points nearer than that are of one ridge
HELD_DEG = 15.0  # past its last noted point a ridge goes on level

Point = tuple[float, float]
"""Azimuth and elevation of a noted point."""


def sun_point(place: Place, note: SunNote) -> Point:
    """Give where the skyline stands that the sun passed: at its upper edge, or at its lower one."""
    sun = sun_at(place, note.when)
    edge = -SEMIDIAMETER_DEG if note.is_whole else SEMIDIAMETER_DEG
    return sun.azimuth_deg, sun.apparent_elevation_deg + edge


def level_line(number: int, level: Level) -> Line:
    """Give the line of one angle over a band of bearings."""
    start, end = level.azimuths_deg
    wide = (end - start) % 360.0 or 360.0
    return Line(
        number=number,
        start_deg=start,
        along_deg=np.array([0.0, wide]),
        height_deg=np.array([level.elevation_deg] * 2),
    )


def ridge_lines(number: int, points: Sequence[Point]) -> list[Line]:
    """Join noted points to ridges, each straight in angle and level past its last points.

    Points farther apart than `JOINED_DEG` are of two ridges; where none are, one goes all around.
    """
    around = sorted({azimuth % 360.0: height for azimuth, height in points}.items())
    if not around:
        return []
    following = [*around[1:], (around[0][0] + 360.0, around[0][1])]
    gaps = [
        place
        for place, (one, other) in enumerate(zip(around, following, strict=True))
        if other[0] - one[0] > JOINED_DEG
    ]
    if not gaps:
        return [_line(number, [*around, following[-1]])]
    lines = []
    for gap, last in zip(gaps, [*gaps[1:], gaps[0] + len(around)], strict=True):
        chain = [
            (around[place % len(around)][0] + 360.0 * (place // len(around)), height)
            for place in range(gap + 1, last + 1)
            for height in [around[place % len(around)][1]]
        ]
        (start, first), (end, final) = chain[0], chain[-1]
        lines.append(_line(number, [(start - HELD_DEG, first), *chain, (end + HELD_DEG, final)]))
    return lines


def _line(number: int, chain: Sequence[Point]) -> Line:
    start = chain[0][0]
    return Line(
        number=number,
        start_deg=start % 360.0,
        along_deg=np.array([azimuth - start for azimuth, _ in chain]),
        height_deg=np.array([height for _, height in chain]),
    )
