"""How far the sun stands from where a shot wants it, and what is left of its worth there.

Figures of the trade are common practice; no standard defines one.
"""

from __future__ import annotations

import math

import numpy as np

from sunsched.day.wish import Band, CameraSide, SunSide, Wish
from sunsched.sky.track import FloatArray

# |sun from lens| of each side, degrees. Common practice, no source.
SIDE_BANDS_DEG: dict[SunSide, tuple[float, float]] = {
    SunSide.BACK: (0.0, 35.0),
    SunSide.THREE_QUARTER_BACK: (35.0, 70.0),
    SunSide.SIDE: (70.0, 110.0),
    SunSide.THREE_QUARTER_FRONT: (110.0, 145.0),
    SunSide.FRONT: (145.0, 180.0),
}
# The give of a sun side: more toward the back and the side than toward the front, degrees.
SOFT_GIVE_DEG, HARD_GIVE_DEG = 30.0, 15.0
FRONTWARD_DEG = 110.0  # an end of a side's band from here on leads to the front
# Past the give a little is left, so that of two bad times the nearer one is better: this share at
# the give, nothing at the far end of the circle, or 90° of height away.
TAIL = 0.02
FAR_ROUND_DEG, FAR_UP_DEG = 180.0, 90.0


def side_arcs(wish: Wish) -> tuple[tuple[float, float], ...]:
    """Give the arcs of sun from lens that meet a side, clockwise; none when no side is asked.

    Of several sides that do as well as each other, each has its arcs.
    """
    return tuple(arc for side, camera_side in wish.sides for arc in _arcs(side, camera_side))


def _arcs(side: SunSide, camera_side: CameraSide | None) -> tuple[tuple[float, float], ...]:
    if side in SIDE_BANDS_DEG:
        low, high = SIDE_BANDS_DEG[side]
    elif camera_side is not None:
        low, high = 0.0, 180.0
    else:
        return ()
    right, left = (low, high), (-high, -low)
    if camera_side is CameraSide.RIGHT:
        return (right,)
    if camera_side is CameraSide.LEFT:
        return (left,)
    return (right, left)


def past_arc_deg(angle_deg: FloatArray, low_deg: float, high_deg: float) -> FloatArray:
    """Give the degrees by which an angle lies outside the arc from low clockwise to high."""
    width = (high_deg - low_deg) % 360.0
    if width == 0.0 and high_deg != low_deg:
        return np.zeros_like(angle_deg)
    past = (angle_deg - low_deg) % 360.0 - width
    return np.maximum(0.0, np.minimum(past, 360.0 - width - past))


def past_band_deg(elevation_deg: FloatArray, band: Band) -> FloatArray:
    """Give the degrees by which an elevation lies outside a band."""
    return np.maximum(0.0, np.maximum(band.low_deg - elevation_deg, elevation_deg - band.high_deg))


def on_side(from_lens: FloatArray, arc: tuple[float, float], give_deg: float | None) -> FloatArray:
    """Give how well the sun stands in an arc around the lens; each of its ends has its own give."""
    low, high = arc
    after = (from_lens - low) % 360.0 - (high - low)
    before = np.maximum(0.0, (low - from_lens) % 360.0) * (after > 0.0)
    after = np.maximum(0.0, after)
    gives = [_give_deg(end, other) for end, other in ((low, high), (high, low))]
    gives = gives if give_deg is None else [give_deg, give_deg]
    return np.maximum(
        falloff(before, gives[0], FAR_ROUND_DEG), falloff(after, gives[1], FAR_ROUND_DEG)
    )


def _give_deg(end_deg: float, other_deg: float) -> float:
    """Give the give past one end of a side's arc; the end away from the back may lead to front."""
    is_outer = abs(end_deg) > abs(other_deg)
    return HARD_GIVE_DEG if is_outer and abs(end_deg) >= FRONTWARD_DEG else SOFT_GIVE_DEG


def falloff(past_deg: FloatArray, give_deg: float, far_deg: float) -> FloatArray:
    """Give 1 inside a band, falling linearly to a little over the give, and on to 0 far away."""
    tail = np.interp(past_deg, (give_deg, max(far_deg, give_deg + 1.0)), (TAIL, 0.0))
    if give_deg == 0.0:
        return np.where(past_deg <= 0.0, 1.0, tail)
    return np.maximum(np.clip(1.0 - past_deg / give_deg, 0.0, 1.0), tail)


def degrees(off_deg: float) -> str:
    """Give how far a sun is off in whole degrees; "just" below one, as 0° would mean not off."""
    return "just" if off_deg < 1.0 else f"{off_deg:.0f}°"


def frame_deg(sensor_width_mm: float, lens_mm: float) -> float:
    """Give how wide a lens sees, degrees: 2 arctan(width / 2 focal length), as a pinhole does."""
    return math.degrees(2 * math.atan(sensor_width_mm / (2 * lens_mm)))
