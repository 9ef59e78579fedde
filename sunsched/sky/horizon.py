"""A spot's skyline with its overhangs, and how much of the sun's disc stands clear of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import groupby

import numpy as np
import numpy.typing as npt

from sunsched.day.model import Span
from sunsched.day.skyline import HorizonPoint
from sunsched.sky.track import FloatArray, SunTrack

# Mean over the year: 16.0' (Explanatory Supplement to the Astronomical Almanac, 3rd ed., 12.3.1.1:
# 0.267° / (1 - 0.017 cos of the mean anomaly), so 0.262° in July and 0.271° in January).
SEMIDIAMETER_DEG = 0.2666


def horizon_deg(points: Sequence[HorizonPoint], azimuth_deg: npt.ArrayLike) -> FloatArray:
    """Give the skyline's height at azimuths of any shape, without its overhangs.

    Straight in angle between its points, or along a wall's upper edge. North is no seam. No points
    mean a level horizon, one point the same height all around. On a vertical edge, two points at
    one azimuth, the second holds.
    """
    azimuth = np.asarray(azimuth_deg, dtype=np.float64)
    base = sorted(
        (point for point in points if point.under_deg is None),
        key=lambda point: point.azimuth_deg,
    )
    if not base:
        return np.zeros_like(azimuth)
    around = np.array([point.azimuth_deg for point in base])
    ends = np.concatenate(([around[-1] - 360.0], around, [around[0] + 360.0]))
    ring = [base[-1], *base, base[0]]
    heights = np.array([point.elevation_deg for point in ring])
    walls = np.array([point.is_wall for point in ring])
    turned = azimuth % 360.0
    after = np.clip(np.searchsorted(ends, turned, side="right"), 1, len(ends) - 1)
    before = after - 1
    wide, along = ends[after] - ends[before], turned - ends[before]
    first, second = heights[before], heights[after]
    slope = np.divide(second - first, wide, out=np.zeros_like(turned), where=wide > 0)
    straight = slope * along + first
    is_wall = walls[before] & (wide > 0) & (wide < 180.0)
    return np.where(is_wall, _wall_deg(first, second, wide, along), straight)


def overhangs_deg(
    points: Sequence[HorizonPoint], azimuth_deg: npt.ArrayLike
) -> list[tuple[FloatArray, FloatArray]]:
    """Give the lower and the upper edge of each overhang at azimuths; nan where it is not."""
    azimuth = np.asarray(azimuth_deg, dtype=np.float64)
    found = []
    for chain in overhangs(points):
        bearings = np.array([point.azimuth_deg for point in chain])
        steps = np.diff(bearings) % 360.0
        along = np.concatenate(([0.0], np.cumsum(steps)))
        turned = (azimuth - bearings[0]) % 360.0
        is_under = turned <= along[-1]
        after = np.clip(np.searchsorted(along, turned, side="right"), 1, max(1, len(along) - 1))
        after = np.minimum(after, len(along) - 1)
        before = np.maximum(after - 1, 0)
        wide = along[after] - along[before]
        share = np.divide(turned - along[before], wide, out=np.zeros_like(turned), where=wide > 0)
        edges = []
        for heights in (
            np.array([point.under_deg for point in chain], dtype=np.float64),
            np.array([point.elevation_deg for point in chain]),
        ):
            height = heights[before] + share * (heights[after] - heights[before])
            edges.append(np.where(is_under, height, np.nan))
        found.append((edges[0], edges[1]))
    return found


def overhangs(points: Sequence[HorizonPoint]) -> list[list[HorizonPoint]]:
    """Give the points of each overhang, clockwise."""
    over = (point for point in points if point.under_deg is not None)
    return [list(chain) for _, chain in groupby(over, key=lambda point: point.part)]


def direct_share(points: tuple[HorizonPoint, ...], track: SunTrack) -> FloatArray:
    """Give the share of the sun's height that is clear of the skyline at each minute: (minutes,).

    1 when the whole disc stands above the skyline and clear of overhangs, 0 when all of it is
    behind them, linear between. The skyline is what an eye sees, so the apparent elevation is held
    against it.
    """
    low, high = _gaps(points, track)
    sun = track.apparent_elevation_deg
    reach = np.minimum(sun + SEMIDIAMETER_DEG - low, high - sun + SEMIDIAMETER_DEG)
    seen = np.minimum(reach, np.minimum(high - low, 2 * SEMIDIAMETER_DEG))
    shown = np.clip(seen, 0.0, None).sum(axis=0)
    return np.asarray(np.clip(shown / (2 * SEMIDIAMETER_DEG), 0.0, 1.0))


def direct_spans(points: tuple[HorizonPoint, ...], track: SunTrack) -> tuple[Span, ...]:
    """Find the stretches of the track when any of the disc shows: first to last direct light.

    Edges lie between two minutes where a limb passes the skyline or an overhang; a stretch that is
    already on at an end of the track begins or ends there.
    """
    limb = showing_deg(points, track)
    shows = limb > 0
    edges = np.flatnonzero(shows[1:] != shows[:-1])
    minutes = [float(i + limb[i] / (limb[i] - limb[i + 1])) for i in edges]
    if shows[0]:
        minutes.insert(0, 0.0)
    if shows[-1]:
        minutes.append(float(len(track) - 1))
    return tuple(
        Span(start=_time_of(track, first), end=_time_of(track, last))
        for first, last in zip(minutes[::2], minutes[1::2], strict=True)
    )


def showing_deg(points: Sequence[HorizonPoint], track: SunTrack) -> FloatArray:
    """Give by how many degrees the disc reaches into open sky, negative where it is hidden."""
    low, high = _gaps(points, track)
    sun = track.apparent_elevation_deg
    reach = np.minimum(sun + SEMIDIAMETER_DEG - low, high - sun + SEMIDIAMETER_DEG)
    return np.asarray(np.where(high > low, reach, -np.inf).max(axis=0))


def lacking_deg(points: Sequence[HorizonPoint], track: SunTrack) -> FloatArray:
    """Give by how many degrees the sun would have to stand elsewhere to be clear as a whole."""
    low, high = _gaps(points, track)
    sun = track.apparent_elevation_deg
    short = np.maximum(low - sun, sun - high) + SEMIDIAMETER_DEG
    short = np.where(high - low >= 2 * SEMIDIAMETER_DEG, np.maximum(short, 0.0), np.inf)
    return np.asarray(short.min(axis=0))


def _gaps(points: Sequence[HorizonPoint], track: SunTrack) -> tuple[FloatArray, FloatArray]:
    """Give the lower and upper ends of the open sky in the sun's direction: (gaps, minutes).

    The last gap reaches up without end; one whose upper end is below its lower one is none.
    """
    base = horizon_deg(points, track.azimuth_deg)
    over = overhangs_deg(points, track.azimuth_deg)
    if not over:
        return base[np.newaxis], np.full((1, len(track)), np.inf)
    lower = np.nan_to_num(np.array([low for low, _ in over]), nan=-np.inf)
    upper = np.nan_to_num(np.array([high for _, high in over]), nan=-np.inf)
    order = np.argsort(lower, axis=0)
    lower, upper = (np.take_along_axis(one, order, axis=0) for one in (lower, upper))
    # The sky begins anew above all that stands below.
    above = np.maximum.accumulate(np.concatenate((base[np.newaxis], upper)), axis=0)
    return above, np.concatenate((lower, np.full((1, len(track)), np.inf)))


def _wall_deg(
    first_deg: FloatArray, second_deg: FloatArray, wide_deg: FloatArray, along_deg: FloatArray
) -> FloatArray:
    """Give the height of a straight level edge between two directions: a great circle."""
    first, second = np.tan(np.radians(first_deg)), np.tan(np.radians(second_deg))
    wide, along = np.radians(wide_deg), np.radians(along_deg)
    across = np.sin(wide)
    rise = first * np.sin(wide - along) + second * np.sin(along)
    height = np.divide(rise, across, out=np.zeros_like(rise), where=across > 0)
    return np.asarray(np.degrees(np.arctan(height)))


def _time_of(track: SunTrack, minute: float) -> datetime:
    return track.start + timedelta(minutes=minute)
