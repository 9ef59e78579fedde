"""The highest peaks of a skyline: what one looks for first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sunsched.day.skyline import HorizonPoint
from sunsched.sky.horizon import horizon_deg

PEAKS = 5  # that are told
DIP_DEG = 1.0  # between two of them
STEP_DEG = 0.5
LEVEL_DEG = 0.02  # less is the same height


def highest(points: Sequence[HorizonPoint]) -> list[HorizonPoint]:
    """Give the five highest peaks of a skyline, with a dip of a degree between any two of them.

    A level one is told by its middle.
    """
    base = [point for point in points if point.under_deg is None and point.elevation_deg > 0]
    found: list[HorizonPoint] = []
    for point in sorted(base, key=lambda one: -one.elevation_deg):
        if len(found) < PEAKS and all(_is_apart(points, point, one) for one in found):
            found.append(_middle(points, point))
    return found


def _is_apart(points: Sequence[HorizonPoint], one: HorizonPoint, other: HorizonPoint) -> bool:
    """Say whether the skyline dips below the lower of two points, going either way."""
    wide = (other.azimuth_deg - one.azimuth_deg) % 360.0
    ways = (
        np.arange(STEP_DEG, wide, STEP_DEG),
        np.arange(-STEP_DEG, wide - 360.0, -STEP_DEG),
    )
    least = min(one.elevation_deg, other.elevation_deg) - DIP_DEG
    return all(
        way.size and horizon_deg(points, one.azimuth_deg + way).min() < least for way in ways
    )


def _middle(points: Sequence[HorizonPoint], peak: HorizonPoint) -> HorizonPoint:
    way = np.arange(STEP_DEG, 360.0, STEP_DEG)
    least = peak.elevation_deg - LEVEL_DEG
    right, left = (
        horizon_deg(points, peak.azimuth_deg + side * way) < least for side in (1.0, -1.0)
    )
    if not right.any():
        return peak  # level all around
    wide = (int(right.argmax()) - int(left.argmax())) * STEP_DEG
    return replace(peak, azimuth_deg=(peak.azimuth_deg + wide / 2) % 360.0)
