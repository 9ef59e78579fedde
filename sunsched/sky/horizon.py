"""A spot's skyline, and how much of the sun's disc stands clear of it."""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
import numpy.typing as npt

from sunsched.day.model import HorizonPoint, Span
from sunsched.sky.track import FloatArray, SunTrack

# Mean over the year: 16.0' (Explanatory Supplement to the Astronomical Almanac, 3rd ed., 12.3.1.1:
# 0.267° / (1 - 0.017 cos of the mean anomaly), so 0.262° in July and 0.271° in January).
SEMIDIAMETER_DEG = 0.2666


def horizon_deg(points: tuple[HorizonPoint, ...], azimuth_deg: npt.ArrayLike) -> FloatArray:
    """Give the skyline's height at azimuths of any shape, straight between its points.

    North is no seam. No points mean a level horizon, one point the same height all around.
    """
    azimuth = np.asarray(azimuth_deg, dtype=np.float64)
    if not points:
        return np.zeros_like(azimuth)
    return np.asarray(
        np.interp(
            azimuth,
            [point.azimuth_deg for point in points],
            [point.elevation_deg for point in points],
            period=360.0,
        )
    )


def direct_share(points: tuple[HorizonPoint, ...], track: SunTrack) -> FloatArray:
    """Give the share of the sun's height that clears the skyline at each minute: (minutes,), 0..1.

    1 when the lower limb stands on the skyline or above, 0 when the upper limb is behind it, linear
    between. The skyline is what an eye sees, so the apparent elevation is held against it.
    """
    return np.clip(_upper_limb_deg(points, track) / (2 * SEMIDIAMETER_DEG), 0.0, 1.0)


def direct_spans(points: tuple[HorizonPoint, ...], track: SunTrack) -> tuple[Span, ...]:
    """Find the stretches of the track when any of the disc shows: first to last direct light.

    Edges lie between two minutes where the upper limb passes the skyline; a stretch that is already
    on at an end of the track begins or ends there.
    """
    limb = _upper_limb_deg(points, track)
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


def _upper_limb_deg(points: tuple[HorizonPoint, ...], track: SunTrack) -> FloatArray:
    """Give the height of the sun's upper limb over the skyline, in degrees: (minutes,)."""
    return track.apparent_elevation_deg + SEMIDIAMETER_DEG - horizon_deg(points, track.azimuth_deg)


def _time_of(track: SunTrack, minute: float) -> datetime:
    return track.start + timedelta(minutes=minute)
