"""Ridges known by angles: a clinometer's notes, and the times at which the sun passed them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sunsched.day.model import Place
from sunsched.day.skyline import Level, SunNote
from sunsched.sky.events import sun_events
from sunsched.sky.horizon import SEMIDIAMETER_DEG
from sunsched.sky.skyline.pieces import Line
from sunsched.sky.track import sun_at

STEEP_DEG = 4.0  # a degree; common practice, no source
# Common practice, no source: nobody climbs a ridge to note every degree of it.
JOINED_DEG = 45.0  # two noted points nearer than that are of one ridge
HELD_DEG = 15.0  # past its last noted point, and where the sun was hidden, a ridge goes on level


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A noted point of a skyline.

    `hidden_deg` is how far beside it the sun was hidden, clockwise positive: from where it rose to
    where it came over the ridge, or from where it met it to where it set.
    """

    azimuth_deg: float
    elevation_deg: float
    hidden_deg: float = 0.0


def sun_point(place: Place, note: SunNote) -> Point:
    """Give where the skyline stands that the sun passed: at its upper edge, or at its lower one."""
    sun = sun_at(place, note.when)
    edge = -SEMIDIAMETER_DEG if note.is_whole else SEMIDIAMETER_DEG
    events = sun_events(place, note.when.astimezone(place.zone).date())
    end = events.sunrise if note.comes else events.sunset
    hidden = 0.0
    if end is not None and (end < note.when) == note.comes:
        hidden = (sun_at(place, end).azimuth_deg - sun.azimuth_deg + 180.0) % 360.0 - 180.0
    return Point(
        azimuth_deg=sun.azimuth_deg,
        elevation_deg=sun.apparent_elevation_deg + edge,
        hidden_deg=hidden,
    )


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
    A ridge goes on to where the sun was hidden by it, and `HELD_DEG` past that.
    """
    around = sorted(
        {point.azimuth_deg % 360.0: point for point in points}.items(), key=lambda one: one[0]
    )
    if not around:
        return []
    first = [azimuth for azimuth, _ in around]
    gaps = [
        place
        for place, azimuth in enumerate(first)
        if (first[(place + 1) % len(first)] - azimuth) % 360.0 > JOINED_DEG or len(first) == 1
    ]
    if not gaps:
        chain = [*around, (first[0] + 360.0, around[0][1])]
        return [_line(number, [(azimuth, point.elevation_deg) for azimuth, point in chain])]
    lines = []
    for gap, last in zip(gaps, [*gaps[1:], gaps[0] + len(around)], strict=True):
        places = range(gap + 1, last + 1)
        turns = [360.0 * (place // len(around)) for place in places]
        noted = [around[place % len(around)] for place in places]
        heights = [
            (azimuth + turn, point.elevation_deg)
            for (azimuth, point), turn in zip(noted, turns, strict=True)
        ]
        left = HELD_DEG + max(0.0, -noted[0][1].hidden_deg)
        right = HELD_DEG + max(0.0, noted[-1][1].hidden_deg)
        start, end = heights[0], heights[-1]
        wide = end[0] - start[0] + left + right
        if wide > 360.0:  # nothing goes on past where it begins
            left, right = (
                (360.0 - end[0] + start[0]) * one / (left + right) for one in (left, right)
            )
        lines.append(
            _line(number, [(start[0] - left, start[1]), *heights, (end[0] + right, end[1])])
        )
    return lines


def steepest(points: Sequence[Point]) -> tuple[int, int] | None:
    """Give the places of two noted points that no ridge has side by side; None if there are none.

    Between them the skyline would climb faster than `STEEP_DEG` for each degree.
    """
    order = sorted(range(len(points)), key=lambda place: points[place].azimuth_deg)
    found = None
    worst = STEEP_DEG
    for one, other in pairwise(order):
        wide = points[other].azimuth_deg - points[one].azimuth_deg
        climb = abs(points[other].elevation_deg - points[one].elevation_deg) / max(1.0, wide)
        if climb > worst:
            found, worst = (one, other), climb
    return found


def _line(number: int, chain: Sequence[tuple[float, float]]) -> Line:
    start = chain[0][0]
    return Line(
        number=number,
        start_deg=start % 360.0,
        along_deg=np.array([azimuth - start for azimuth, _ in chain]),
        height_deg=np.array([height for _, height in chain]),
    )
