"""What a lens sees: how wide, and whether the sun, a shadow or a stand is within it.

Angles of a lens without distortion, focused far away. The sun is looked at through no lens: the
figures are for who sets flags, not for who looks.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import acos, atan, atan2, cos, degrees, radians, sin, tan

NEAR_DEG = 5.0  # within so much of the frame's edge the sun flares; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Lens:
    """A lens on a camera, level unless tilted.

    Attributes
    ----------
    length_mm : focal length
    sensor_mm : width and height of what is used of the sensor
    squeeze : how much wider an anamorphic lens sees; 1 for a spherical one
    """

    length_mm: float
    sensor_mm: tuple[float, float]
    squeeze: float = 1.0

    @property
    def half_width_deg(self) -> float:
        """Give the angle from the axis to the side of the frame."""
        return degrees(atan(self.squeeze * self.sensor_mm[0] / 2.0 / self.length_mm))

    @property
    def half_height_deg(self) -> float:
        """Give the angle from the axis to the top of the frame."""
        return degrees(atan(self.sensor_mm[1] / 2.0 / self.length_mm))


class InFrame(StrEnum):
    """Where the sun is for a lens."""

    IN = "in frame"
    NEAR = "near frame"
    CLEAR = "clear of the frame"


def off_axis_deg(elevation_deg: float, from_lens_deg: float, tilt_deg: float = 0.0) -> float:
    """Give the angle between the axis of a lens and the sun.

    Parameters
    ----------
    elevation_deg, from_lens_deg : the sun's height, and its bearing from that of the lens
    tilt_deg : of the axis above level
    """
    h, t = radians(elevation_deg), radians(tilt_deg)
    cosine = sin(h) * sin(t) + cos(h) * cos(t) * cos(radians(from_lens_deg))
    return degrees(acos(max(-1.0, min(1.0, cosine))))


def in_frame(
    lens: Lens, elevation_deg: float, from_lens_deg: float, tilt_deg: float = 0.0
) -> InFrame:
    """Say where the sun is for a lens that is tilted by so much."""
    h, t, b = radians(elevation_deg), radians(tilt_deg), radians(from_lens_deg)
    ahead = sin(h) * sin(t) + cos(h) * cos(t) * cos(b)
    if ahead <= 0.0:
        return InFrame.CLEAR
    right = cos(h) * sin(b) / ahead
    up = (sin(h) * cos(t) - cos(h) * sin(t) * cos(b)) / ahead
    wide, high = (radians(one) for one in (lens.half_width_deg, lens.half_height_deg))
    if abs(right) <= tan(wide) and abs(up) <= tan(high):
        return InFrame.IN
    near = radians(NEAR_DEG)
    is_near = abs(atan(right)) <= wide + near and abs(atan(up)) <= high + near
    return InFrame.NEAR if is_near else InFrame.CLEAR


def least_tilt_deg(lens: Lens, elevation_deg: float, from_lens_deg: float) -> float | None:
    """Give the least tilt up, 0 to 90, at which the sun is in frame; None where none brings it in.

    To a tenth of a degree.
    """
    h, b = radians(elevation_deg), radians(from_lens_deg)
    # In the upright plane of the axis the sun stands as high as this; the frame is around the axis.
    seen = degrees(atan2(sin(h), cos(h) * cos(b)))
    lowest, highest = (seen + turn * lens.half_height_deg for turn in (-1, 1))
    for tenth in range(max(0, int(10 * lowest)), min(900, int(10 * highest) + 1) + 1):
        if in_frame(lens, elevation_deg, from_lens_deg, tenth / 10.0) is InFrame.IN:
            return tenth / 10.0
    return None


def clear_m(lens: Lens, distance_m: float) -> float:
    """Give how far from the axis a stand must be to be out of frame at this distance."""
    return distance_m * tan(radians(lens.half_width_deg))


def shadow_in_frame(
    lens: Lens,
    camera_m: float,
    person_m: float,
    elevation_deg: float,
    from_lens_deg: float,
) -> bool:
    """Say whether the shadow of somebody who stands at the camera falls into frame.

    Parameters
    ----------
    lens : held level
    camera_m, person_m : height of the lens over level ground, and of who stands there
    elevation_deg, from_lens_deg : the sun's height, above 0, and its bearing from that of the lens
    """
    turned = radians(180.0 - abs(from_lens_deg))
    if cos(turned) <= 0.0 or tan(turned) > tan(radians(lens.half_width_deg)):
        return False
    reach = person_m / tan(radians(elevation_deg)) * cos(turned)
    return reach >= camera_m / tan(radians(lens.half_height_deg))
