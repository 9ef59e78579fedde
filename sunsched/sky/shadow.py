"""The shadow that the sun throws on level ground."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from sunsched.sky.track import FloatArray


def shadow_length_ratio(apparent_elevation_deg: npt.ArrayLike) -> FloatArray:
    """Give the shadow's length for each metre of height; infinite with the sun at or below 0°.

    Height over the tangent of the apparent elevation (Explanatory Supplement to the Astronomical
    Almanac, 3rd ed., 12.3.3.2).
    """
    elevation = np.asarray(apparent_elevation_deg, dtype=np.float64)
    up = elevation > 0
    tangent = np.tan(np.radians(np.where(up, elevation, 45.0)))
    return np.where(up, 1.0 / tangent, np.inf)


def shadow_direction_deg(azimuth_deg: npt.ArrayLike) -> FloatArray:
    """Give the bearing in which the shadow falls, 0 to below 360, clockwise from true north."""
    return np.asarray((np.asarray(azimuth_deg, dtype=np.float64) + 180.0) % 360.0)
