"""A spot's skyline: its points, where its subject stands, and what people tell of it.

Azimuths are degrees clockwise from true north, heights metres above the ground on which camera and
subject stand, elevations degrees above the level horizon.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class HorizonPoint:
    """One point of a spot's skyline, as seen from where its subject stands.

    Two points at one azimuth are a vertical edge. `is_wall` says that a straight level wall runs to
    the next point clockwise; else the skyline is straight in angle. A point with `under_deg` is one
    of an overhang: the sky is seen below that height and hidden from there to `elevation_deg`; the
    points of one overhang follow each other clockwise and share the name of their `part`.
    """

    azimuth_deg: float
    elevation_deg: float
    is_wall: bool = False
    under_deg: float | None = None
    part: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """Where a spot's subject stands, seen from the camera, and how high its face is.

    `bearing_deg` is from true north. The height is that of a standing face, common practice, no
    source.
    """

    distance_m: float = 0.0
    bearing_deg: float = 0.0
    height_m: float = 1.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """An end of a straight wall's upper edge, as seen from where it was measured.

    Either distance and height are known, or the angle of the edge alone.
    """

    azimuth_deg: float
    distance_m: float | None = None
    height_m: float | None = None
    elevation_deg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """Straight walls from corner to corner; `told` is what was typed."""

    told: str
    corners: tuple[Corner, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Roof:
    """A slab above the ground: its corners around it, and the heights of its two faces."""

    told: str
    corners: tuple[Corner, ...]
    low_m: float
    high_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A skyline of one angle over a band of bearings, clockwise."""

    told: str
    azimuths_deg: tuple[float, float]
    elevation_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """One point of a skyline, read off a clinometer."""

    told: str
    azimuth_deg: float
    elevation_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SunNote:
    """A moment in UTC at which the sun came over the skyline, or went behind it.

    `is_whole` says that the whole disc stood clear; else the upper edge of it showed, and no more.
    """

    told: str
    when: datetime
    comes: bool = True
    is_whole: bool = False
