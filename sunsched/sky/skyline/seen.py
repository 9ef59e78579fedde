"""What one thing that was told looks like by itself: how high, where, and from where to where."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sunsched.day.skyline import HorizonPoint
from sunsched.folder.skyline.told import Line as ToldLine
from sunsched.sky.skyline.pieces import Piece
from sunsched.sky.skyline.ridge import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What one thing told looks like: its highest point, from where to where, and how many it is.

    Azimuths are true; `under_deg` is the lowest underside of an overhang. What hides nothing has no
    elevation.
    """

    line: ToldLine
    told: str
    azimuth_deg: float | None = None
    elevation_deg: float | None = None
    span_deg: tuple[float, float] | None = None
    under_deg: float | None = None
    count: int = 1


def mark_of(line: ToldLine, told: str, point: Point) -> Seen:
    """Give what a noted point looks like."""
    azimuth, elevation = point.azimuth_deg, point.elevation_deg
    return Seen(line=line, told=told, azimuth_deg=azimuth, elevation_deg=elevation)


def seen_of(
    line: ToldLine, told: str, pieces: Sequence[Piece], over: Sequence[HorizonPoint], count: int
) -> Seen:
    """Look at what one part hides by itself."""
    tops = [(point.elevation_deg, point.azimuth_deg) for point in over]
    for piece in pieces:
        inside = piece.start_deg + np.arange(0.0, piece.wide_deg, 0.5)
        around = np.concatenate((piece.breaks_deg, inside)) % 360.0
        heights = piece.at(around)
        best = int(np.argmax(heights))
        tops.append((float(heights[best]), float(around[best])))
    if not tops or max(tops)[0] <= 0:
        return Seen(line=line, told=told, count=count)
    elevation, azimuth = max(tops)
    span = None
    if pieces and line.kind in ("wall", "note"):
        span = (pieces[0].start_deg, (pieces[-1].start_deg + pieces[-1].wide_deg) % 360.0)
    if over and line.kind == "roof":
        span = (over[0].azimuth_deg, over[-1].azimuth_deg)
    return Seen(
        line=line,
        told=told,
        azimuth_deg=azimuth,
        elevation_deg=elevation,
        span_deg=span,
        under_deg=min((one.under_deg for one in over if one.under_deg is not None), default=None),
        count=count,
    )
