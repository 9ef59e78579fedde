"""The pieces that a skyline is made of: straight edges in space, and lines that join angles."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from sunsched.sky.track import FloatArray

Space: TypeAlias = tuple[float, float, float]
"""Metres east, north and up from the subject's face."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """A straight upper edge in space, its left end first; `number` says which part it is of."""

    number: int
    left: Space
    right: Space

    @property
    def start_deg(self) -> float:
        """Azimuth of the left end."""
        return azimuth_of(self.left)

    @property
    def wide_deg(self) -> float:
        """Degrees from end to end, below 180."""
        return (azimuth_of(self.right) - self.start_deg) % 360.0

    @property
    def breaks_deg(self) -> FloatArray:
        """Azimuths at which it begins and ends, and where it is nearest."""
        (x, y, _), (x_end, y_end, _) = self.left, self.right
        across, along = x_end - x, y_end - y
        square = math.degrees(math.atan2(along, -across)) % 360.0
        found = np.array([self.start_deg, azimuth_of(self.right), square, square + 180.0]) % 360.0
        # What is square on may lie beside the edge, or behind the subject.
        return found[((found - self.start_deg) % 360.0 <= self.wide_deg) | (np.arange(4) < 2)]

    def at(self, azimuth_deg: FloatArray) -> FloatArray:
        """Give its elevation at azimuths between its ends."""
        azimuth = np.radians(azimuth_deg)
        (x, y, z), (x_end, y_end, z_end) = self.left, self.right
        across, along = x_end - x, y_end - y
        turned = np.sin(azimuth) * along - np.cos(azimuth) * across
        distance = (x * along - y * across) / turned
        reached = (distance * np.sin(azimuth) - x) * across
        reached += (distance * np.cos(azimuth) - y) * along
        height = z + (z_end - z) * reached / (across**2 + along**2)
        return np.asarray(np.degrees(np.arctan2(height, distance)))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line:
    """A skyline that is straight in angle between points.

    `along_deg` counts from `start_deg` clockwise, from 0 up to 360 where the line goes all around.
    """

    number: int
    start_deg: float
    along_deg: FloatArray
    height_deg: FloatArray

    @property
    def wide_deg(self) -> float:
        """Degrees from its first point to its last."""
        return float(self.along_deg[-1])

    @property
    def breaks_deg(self) -> FloatArray:
        """Azimuths of its points."""
        return (self.start_deg + self.along_deg) % 360.0

    def at(self, azimuth_deg: FloatArray) -> FloatArray:
        """Give its elevation at azimuths between its ends."""
        along = (azimuth_deg - self.start_deg) % 360.0
        return np.interp(along, self.along_deg, self.height_deg)


Piece: TypeAlias = Edge | Line


def azimuth_of(point: Space) -> float:
    """Give the azimuth of a point in space, 0 to below 360."""
    return math.degrees(math.atan2(point[0], point[1])) % 360.0


def edge_between(number: int, one: Space, other: Space) -> Edge | None:
    """Give the edge between two points, left end first; None where it is seen end on."""
    wide = (azimuth_of(other) - azimuth_of(one)) % 360.0
    if min(wide, 360.0 - wide) < 1e-6:
        return None
    left, right = (one, other) if wide < 180.0 else (other, one)
    return Edge(number=number, left=left, right=right)


def distance_to_m(one: Space, other: Space) -> float:
    """Give how near an edge comes to the subject, over ground."""
    across, along = other[0] - one[0], other[1] - one[1]
    length = across**2 + along**2
    share = 0.0 if length == 0.0 else -(one[0] * across + one[1] * along) / length
    share = min(1.0, max(0.0, share))
    return math.hypot(one[0] + share * across, one[1] + share * along)
