"""A level frame between the sun and a subject: where it stands, what it shades, for how long.

The shadow of a level square is the same square, moved away from the sun by the height times the
cotangent of the sun's height. The sun is no point: its disc of 32′ takes from the hard-edged part
9.3 mm for each metre of the way (Explanatory Supplement to the Astronomical Almanac, 3rd ed.).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, radians, sin, tan

import numpy as np
import numpy.typing as npt

from sunsched.sky.track import FloatArray

BoolArray = npt.NDArray[np.bool_]

DISC = 0.0093  # width of the sun's disc, radians
# A frame farther off than this many of its heights over the face stands low against the sun, and
# one that must be walked sooner is walked all the time. Common practice, no source.
REACH, LEAST_MIN = 3.0, 10
CLOTH_UNDER_M = 0.2  # a cloth ends about so far within the nominal size; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Overhead:
    """A level square frame; `side_m` is its nominal side, `above_m` its height over the face."""

    side_m: float
    above_m: float

    @property
    def cloth_m(self) -> float:
        """Give the side of what really throws a shadow."""
        return self.side_m - CLOTH_UNDER_M


@dataclass(frozen=True, slots=True, kw_only=True)
class Shade:
    """Where an overhead stands for a sun, and what is in its full shadow.

    Attributes
    ----------
    offset_m : from over the subject to over the frame's centre, toward the sun
    along_m, across_m : of the part of the shadow without a soft edge, in the sun's direction and
        across it, for a frame whose sides run so
    """

    offset_m: float
    along_m: float
    across_m: float


def shade(frame: Overhead, elevation_deg: float) -> Shade:
    """Give where an overhead stands for a sun at an apparent height above 0."""
    up = sin(radians(elevation_deg))
    soft = DISC * frame.above_m / up
    return Shade(
        offset_m=frame.above_m / tan(radians(elevation_deg)),
        along_m=max(0.0, frame.cloth_m - soft / up),
        across_m=max(0.0, frame.cloth_m - soft),
    )


def shadow_path_m(
    frame: Overhead, elevation_deg: FloatArray, azimuth_deg: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Give how far the shadow has walked since the first moment.

    Parameters
    ----------
    elevation_deg, azimuth_deg : of the sun, (moments,); heights above 0

    Returns
    -------
    tuple of FloatArray
        (moments,) each, metres: along the first moment's bearing of the sun, positive toward it,
        and across, positive to the right of who faces the sun.
    """
    away = frame.above_m / np.tan(np.radians(elevation_deg))
    turned = np.radians(azimuth_deg - azimuth_deg[0])
    along, across = -away * np.cos(turned), -away * np.sin(turned)
    return along - along[0], across - across[0]


def covered_min(
    frame: Overhead,
    subject_m: float,
    elevation_deg: FloatArray,
    azimuth_deg: FloatArray,
    *,
    is_led: bool = False,
) -> int:
    """Count the minutes from the first on in which a subject stays in the full shadow.

    The frame's sides run along and across the first moment's sun, and it is not moved.

    Parameters
    ----------
    subject_m : side of the square that is to be covered
    elevation_deg, azimuth_deg : of the sun at each minute, (minutes,)
    is_led : the shadow is set ahead, so that it walks over the subject from edge to edge; else it
        is centred at the first moment

    Returns
    -------
    int
        0 for a frame that does not cover the subject at all; never more than there are minutes.
    """
    up = np.flatnonzero(elevation_deg <= 0.0)
    last = int(up[0]) if len(up) else len(elevation_deg)
    if last == 0:
        return 0
    heights, bearings = elevation_deg[:last], azimuth_deg[:last]
    along, across = shadow_path_m(frame, heights, bearings)
    sine = np.sin(np.radians(heights))
    soft = DISC * frame.above_m / sine
    free_along = frame.cloth_m - soft / sine - subject_m
    free_across = frame.cloth_m - soft - subject_m
    if is_led:
        # Where the frame can be set so that all moments up to one are covered.
        inside = _fits(along, free_along) & _fits(across, free_across)
    else:
        inside = (2 * np.abs(along) <= free_along) & (2 * np.abs(across) <= free_across)
    out = np.flatnonzero(~inside)
    return int(out[0]) if len(out) else last


def covers(
    frame: Overhead, subject_m: float, elevation_deg: FloatArray, azimuth_deg: FloatArray
) -> BoolArray:
    """Say at which minutes a frame is of use: it can stand there, and need not be walked at once.

    Parameters
    ----------
    elevation_deg, azimuth_deg : of the sun at each minute, (minutes,)

    Returns
    -------
    BoolArray
        (minutes,), true where the frame's offset is at most `REACH` of its height, and one place
        covers the subject for `LEAST_MIN`; never where the sun is down.
    """
    is_up = elevation_deg > 0.0
    height = np.radians(np.where(is_up, elevation_deg, 90.0))
    away, sine = frame.above_m / np.tan(height), np.sin(height)
    later = np.minimum(np.arange(len(height)) + LEAST_MIN, len(height) - 1)
    turned = np.radians(azimuth_deg[later] - azimuth_deg)
    along = away[later] * np.cos(turned) - away
    across = away[later] * np.sin(turned)
    soft = DISC * frame.above_m / np.minimum(sine, sine[later])
    free_along = frame.cloth_m - soft / np.minimum(sine, sine[later]) - subject_m
    free_across = frame.cloth_m - soft - subject_m
    stays = (np.abs(along) <= free_along) & (np.abs(across) <= free_across)
    return np.asarray(is_up & is_up[later] & (away <= REACH * frame.above_m) & stays)


def walk_m_min(
    frame: Overhead, elevation_deg: float, rise_deg_min: float, turn_deg_min: float
) -> tuple[float, float, float]:
    """Give how fast the shadow walks: along the sun's bearing, across it, and both together.

    Parameters
    ----------
    elevation_deg : apparent height of the sun, above 0
    rise_deg_min, turn_deg_min : by how much its height and its bearing change a minute
    """
    h = radians(elevation_deg)
    along = frame.above_m * radians(rise_deg_min) / sin(h) ** 2
    across = -frame.above_m * radians(turn_deg_min) * cos(h) / sin(h)
    return along, across, hypot(along, across)


def _fits(path: FloatArray, free: FloatArray) -> BoolArray:
    """Say for each moment whether one place of the frame covers all moments up to it."""
    high = np.minimum.accumulate(free / 2 - path)
    low = np.maximum.accumulate(-free / 2 - path)
    return np.asarray(low <= high)
