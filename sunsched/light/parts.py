"""The parts of a shot's light, minute by minute: where the sun stands, arrives and comes from."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from sunsched.day.model import Day, Shot
from sunsched.day.wish import SUNRISE_DEG, SunSide, Wish
from sunsched.light.angles import (
    FAR_ROUND_DEG,
    FAR_UP_DEG,
    falloff,
    on_side,
    past_arc_deg,
    past_band_deg,
    side_arcs,
)
from sunsched.sky.track import FloatArray, SunTrack, sun_from_lens_deg

BoolArray = npt.NDArray[np.bool_]

# Light from above: harmless up to the first elevation, at its worst from the second on, degrees.
# Common practice, no source.
TOP_LIGHT_DEG = (45.0, 70.0)
DAYLIGHT_DEG = SUNRISE_DEG


def geometry_parts(shot: Shot, track: SunTrack) -> dict[str, FloatArray]:
    """Give the parts that depend on where the sun stands: side, azimuth, elevation, evening."""
    wish = shot.wish
    parts: dict[str, FloatArray] = {}
    arcs = side_arcs(wish)
    if arcs:
        from_lens = sun_from_lens_deg(track.azimuth_deg, shot.look_deg)
        parts["sun side"] = np.max([on_side(from_lens, arc, wish.give_deg) for arc in arcs], axis=0)
    if wish.azimuth is not None:
        band = wish.azimuth
        past = past_arc_deg(track.azimuth_deg, band.low_deg, band.high_deg)
        parts["azimuth"] = falloff(past, band.give_deg, FAR_ROUND_DEG)
    if wish.elevation is not None:
        past = past_band_deg(track.elevation_deg, wish.elevation)
        parts["elevation"] = falloff(past, wish.elevation.give_deg, FAR_UP_DEG)
    if wish.side is SunSide.DUSK:
        # Dusk is the end of the day: the sun on its way down, not the twilight before sunrise.
        ahead_deg = 2 * track.elevation_deg[-1] - track.elevation_deg[-2]
        parts["evening"] = (np.diff(track.elevation_deg, append=ahead_deg) < 0).astype(np.float64)
    return parts


def arrival_parts(
    wish: Wish, track: SunTrack, clear: FloatArray, clouds: FloatArray
) -> dict[str, FloatArray]:
    """Give the parts that say how much of the sun reaches the subject, past skyline and cloud.

    Cloud cover is read as the chance that the sun is in. A band that begins below the horizon asks
    for the sun only while it is up.
    """
    if wish.is_twilight or wish.asks_nothing:
        return {}
    parts = {"direct sun": clear, "clear sky": 1.0 - clouds}
    if wish.reaches_below:
        is_down = track.elevation_deg <= SUNRISE_DEG
        parts = {name: np.where(is_down, 1.0, part) for name, part in parts.items()}
    return parts


def top_parts(day: Day, shot: Shot, track: SunTrack, covered: BoolArray) -> dict[str, FloatArray]:
    """Give the part of light from above, where no frame hangs overhead to stop it."""
    wish = shot.wish
    if wish.is_twilight or wish.asks_nothing or wish.side is SunSide.SHADE:
        return {}
    if not day.is_under_overhead(shot):
        covered = np.zeros_like(covered)
    if covered.all():
        return {}
    floor = day.sizes[shot.size].top_light
    top = np.interp(track.elevation_deg, TOP_LIGHT_DEG, (1.0, floor))
    return {"top light": np.where(covered, 1.0, top)}


def daylight_part(wish: Wish, track: SunTrack) -> FloatArray:
    """Give 1 by day, and as far down as the shot's band of heights reaches."""
    is_day = track.elevation_deg > DAYLIGHT_DEG
    if wish.elevation is not None and wish.reaches_below:
        is_day |= track.elevation_deg >= wish.elevation.low_deg
    return is_day.astype(np.float64)
