"""A board that throws sunlight on a subject: how it is aimed, and what it gives.

A matt board sends light all round (Lambert): its level on the subject is the sum over its edges
(Lambert, Photometria, 1760; in the form of Baum, Rushmeier and Winget, Computer Graphics 23(3),
1989). The formula for a point errs by more than a stop when the board is near.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, atan2, cos, degrees, log2, pi, radians, sin

import numpy as np

from sunsched.sky.track import FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """Which way the front of a board looks: a bearing from north, and how far it is tipped up."""

    bearing_deg: float
    tilt_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A square board: its side, the share that it throws back, and whether as a mirror does."""

    side_m: float
    reflectance: float
    is_mirror: bool = False


def direction(bearing_deg: float, elevation_deg: float) -> FloatArray:
    """Give a direction as (east, north, up), of length 1."""
    a, h = radians(bearing_deg), radians(elevation_deg)
    return np.array([sin(a) * cos(h), cos(a) * cos(h), sin(h)])


def half_way(sun: FloatArray, subject: FloatArray) -> Aim:
    """Give the aim half-way between the sun and the subject, as seen from the board.

    A mirror must be aimed so. A matt board gives most so too: cos θᵢ cos θᵣ = (1 + cos δ) / 2, with
    δ the angle between the two.

    Parameters
    ----------
    sun, subject : directions of length 1, as `direction` gives them

    Raises
    ------
    ValueError
        Where the subject stands exactly away from the sun: nothing can be thrown there.
    """
    middle = sun + subject
    length = float(np.linalg.norm(middle))
    if length < 1e-9:
        raise ValueError("the subject stands exactly away from the sun")
    east, north, up = middle / length
    return Aim(bearing_deg=degrees(atan2(east, north)) % 360.0, tilt_deg=degrees(asin(up)))


def tipped_gain_stops(elevation_deg: float) -> float:
    """Give what a board tipped half-way gives over one that stands upright and faces the subject.

    Sun, board and subject in one upright plane, the subject level with the board.

    Parameters
    ----------
    elevation_deg : apparent height of the sun, 0 to below 90
    """
    up = cos(radians(elevation_deg))
    return log2((1.0 + up) / (2.0 * up))


def bounced_klx(
    board: Board, distance_m: float, beam_klx: float, sun: FloatArray, subject: FloatArray
) -> float:
    """Give what a board aimed half-way throws on a small plane that faces it.

    Parameters
    ----------
    distance_m : from the middle of the board to the subject, above 0
    beam_klx : of the sun on a plane that faces it
    sun, subject : directions from the board, of length 1

    Returns
    -------
    float
        In klx. A mirror that fills the way of the sun gives the beam less what it keeps; how large
        its patch of light is, is its own outline.
    """
    if board.is_mirror:
        return board.reflectance * beam_klx
    aim = half_way(sun, subject)
    normal = direction(aim.bearing_deg, aim.tilt_deg)
    onto = beam_klx * max(0.0, float(normal @ sun))
    return board.reflectance * onto * form_factor(_corners(board, normal), -distance_m * subject)


def form_factor(corners: FloatArray, at: FloatArray) -> float:
    """Give the share of all light on a small plane that comes from a flat board.

    The plane looks at the middle of the board; what lies behind the plane must not.

    Parameters
    ----------
    corners : (corners, 3) of the board in order, seen from its middle, metres
    at : (3,) of the board's middle seen from the plane, metres
    """
    rays = corners + at
    looks = at / np.linalg.norm(at)
    rays = rays / np.linalg.norm(rays, axis=1, keepdims=True)
    total = 0.0
    for one, other in zip(rays, np.roll(rays, -1, axis=0), strict=True):
        across = np.cross(one, other)
        length = float(np.linalg.norm(across))
        if length > 0.0:
            angle = atan2(length, float(one @ other))
            total += angle * float(across @ looks) / length
    return abs(total) / (2.0 * pi)


def _corners(board: Board, normal: FloatArray) -> FloatArray:
    """Give the corners of a board that looks this way, two of its sides level."""
    east, north, _ = normal
    level = np.array([north, -east, 0.0])
    length = float(np.linalg.norm(level))
    level = np.array([1.0, 0.0, 0.0]) if length < 1e-9 else level / length
    upward, half = np.cross(level, normal), board.side_m / 2.0
    return half * np.array(
        [level + upward, level - upward, -level - upward, -level + upward], dtype=np.float64
    )
