"""Walls, roofs and footprints as edges in space, and slabs above the ground as overhangs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from sunsched.day.skyline import Corner, HorizonPoint
from sunsched.sky.skyline.pieces import Edge, Space, azimuth_of, edge_between

OVERHEAD_DEG = 90.0
SLAB_STEP_DEG = 1.0


def corner_at(corner: Corner, away_m: tuple[float, float], face_m: float) -> Space:
    """Give a corner in space as seen from the face of a subject.

    Parameters
    ----------
    corner : Corner
        As it was measured from the spot.
    away_m : pair of float
        How far east and north of the spot the subject stands.
    face_m : float
        Height of the face above ground.
    """
    azimuth = math.radians(corner.azimuth_deg)
    east, north = math.sin(azimuth), math.cos(azimuth)
    if corner.distance_m is None:
        # Of an angle alone nobody knows how it looks from elsewhere: it counts as far away.
        return east, north, math.tan(math.radians(corner.elevation_deg or 0.0))
    return (
        east * corner.distance_m - away_m[0],
        north * corner.distance_m - away_m[1],
        (corner.height_m or 0.0) - face_m,
    )


def edges_of(number: int, points: Sequence[Space]) -> Iterator[Edge]:
    """Give the edges from point to point, without those that are seen end on."""
    for one, other in pairwise(points):
        edge = edge_between(number, one, other)
        if edge is not None:
            yield edge


def slab_points(
    ring: Sequence[tuple[float, float]], low_m: float, high_m: float, part: str
) -> list[HorizonPoint]:
    """Give what a slab above the face hides, clockwise; empty where it is seen from nowhere.

    Parameters
    ----------
    ring : sequence of pairs of float
        The corners around it, metres east and north of the face; the last is joined to the first.
    low_m, high_m : float
        Its lower and its upper face, above the subject's face.
    part : str
        What the overhang is called.
    """
    closed = [*ring, ring[0]]
    rim = [*edges_of(0, [(east, north, 0.0) for east, north in closed])]
    if not rim:
        return []
    inside = is_inside(ring)
    around = np.arange(0.0, 360.0 + SLAB_STEP_DEG, SLAB_STEP_DEG)
    azimuths = around if inside else _arc_deg(ring)
    points = []
    for azimuth in azimuths:
        hits = [_distance_m(edge, azimuth) for edge in rim]
        met = [hit for hit in hits if hit is not None]
        if not met:
            continue
        near, far = (0.0 if inside else min(met)), max(met)
        top = OVERHEAD_DEG if near < 1e-6 else math.degrees(math.atan2(high_m, near))
        points.append(
            HorizonPoint(
                azimuth_deg=round(float(azimuth) % 360.0, 3) % 360.0,
                elevation_deg=top,
                under_deg=math.degrees(math.atan2(low_m, far)),
                part=part,
            )
        )
    return points


def is_inside(ring: Sequence[tuple[float, float]]) -> bool:
    """Say whether the subject stands inside a ring of corners, none of which it stands on."""
    turned = 0.0
    for one, other in zip(ring, [*ring[1:], ring[0]], strict=True):
        first, second = azimuth_of((*one, 0.0)), azimuth_of((*other, 0.0))
        turned += (second - first + 180.0) % 360.0 - 180.0
    return abs(turned) > 180.0


def _arc_deg(ring: Sequence[tuple[float, float]]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Give the azimuths at which a ring is looked at: its corners and whole degrees between."""
    # A corner under the subject's feet has no azimuth.
    bearings = [azimuth_of((*one, 0.0)) for one in ring if math.hypot(*one) > 1e-6]
    along = np.cumsum([0.0, *(((b - a + 180.0) % 360.0) - 180.0 for a, b in pairwise(bearings))])
    start, wide = bearings[0] + float(along.min()), float(np.ptp(along))
    whole = np.arange(math.ceil(start), start + wide, SLAB_STEP_DEG)
    corners = bearings[0] + along
    # Just inside its ends, where a ray still meets it.
    return np.unique(np.clip(np.concatenate((whole, corners)), start + 1e-6, start + wide - 1e-6))


def _distance_m(edge: Edge, azimuth_deg: float) -> float | None:
    """Give how far away a ray meets an edge, over ground; None where it does not."""
    if (azimuth_deg - edge.start_deg) % 360.0 > edge.wide_deg:
        return None
    azimuth = math.radians(azimuth_deg)
    (x, y, _), (x_end, y_end, _) = edge.left, edge.right
    across, along = x_end - x, y_end - y
    turned = math.sin(azimuth) * along - math.cos(azimuth) * across
    return (x * along - y * across) / turned if turned else None
