"""A second calculation of what the gaffer's page says, from published formulas, rays and sums.

It uses no function of the package: the sun is astral's, shadows and lenses are rays, boards are
summed square by square, colours are spectra under the CIE's observer.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from functools import cache
from math import cos, exp, log2, log10, pi, radians, sin, sqrt, tan
from typing import Any

import numpy as np
import numpy.typing as npt
import pvlib
from astral import Observer
from astral.sun import zenith_and_azimuth

Array = npt.NDArray[np.float64]
CLOTH_UNDER_M, DISC_DEG = 0.2, 0.533  # the cloth within its frame; the sun's disc of 32.0′
PATCHES = 60  # a side, of a board that is summed


@cache
def sun_at(place: Any, when: datetime) -> tuple[float, float]:
    """Give the height and the bearing of the sun by astral (NOAA's formulas, with refraction)."""
    observer = Observer(place.latitude_deg, place.longitude_deg, 0.0)
    zenith, bearing = zenith_and_azimuth(observer, when, with_refraction=True)
    return 90.0 - zenith, bearing


def toward(height_deg: float, bearing_deg: float) -> Array:
    """Give a direction as east, north, up."""
    h, a = radians(height_deg), radians(bearing_deg)
    return np.array([cos(h) * sin(a), cos(h) * cos(a), sin(h)])


def apart_deg(one: Array, other: Array) -> float:
    """Give the angle between two directions."""
    return float(np.degrees(np.arctan2(np.linalg.norm(np.cross(one, other)), one @ other)))


def turned_deg(bearing_deg: float, look_deg: float) -> float:
    """Give how far right of a look a bearing is, −180 to 180."""
    return (bearing_deg - look_deg + 180.0) % 360.0 - 180.0


# IES 1984: extinction of the beam, and the sky on level ground.
SKIES: dict[str, tuple[float | None, Callable[[float], float]]] = {
    "clear": (0.21, lambda up: 0.8 + 15.5 * up**0.5),
    "partly": (0.80, lambda up: 0.3 + 45.0 * up),
    "cloudy": (None, lambda up: 0.3 + 21.0 * up),
}


def half_sky(kind: str, h: float, turned: float) -> float:
    """Give the sky on an upright plane, IES 1984, klx; angles in radians."""
    if kind == "cloudy":
        return 8.5 * sin(h)
    if kind == "partly":
        part = (1.0 + cos(turned)) / (3.0 - cos(turned))
        return float((12.0 * h + 30.2 * sin(h) ** 0.8 * cos(h)) * part)
    part = (2.0 + cos(turned)) / (3.0 - cos(turned))
    return float((4.0 * h**1.3 + 12.0 * sin(h) ** 0.3 * cos(h) ** 1.3) * part)


def light(kind: str, height_deg: float, number: int, *, sun: bool = True) -> dict[str, Any]:
    """Give the beam, its part on level ground, the sky, and a function for faces, klx."""
    extinction, sky_of = SKIES[kind]
    h = radians(height_deg)
    mass = float(pvlib.atmosphere.get_relative_airmass(90.0 - height_deg, "kastenyoung1989"))
    outside = 127.5 * (1.0 + 0.034 * cos(2.0 * pi * (number - 2) / 365.0))
    beam = outside * exp(-extinction * mass) if sun and extinction is not None else 0.0
    sky = sky_of(sin(h))
    total = beam * sin(h) + sky

    def face(turned: float, ground: float) -> float:
        t = radians(turned)
        direct = beam * max(0.0, float(toward(height_deg, turned) @ toward(0.0, 0.0)))
        return direct + half_sky(kind, h, t) + 0.5 * ground * total

    return {"beam": beam, "level": beam * sin(h), "sky": sky, "total": total, "face": face}


def exposure(klx: float, camera: Any) -> list[float]:
    """Give EV at ISO 100, the T-stop, the wanted one, density, and the stops of it (ISO 2720)."""
    time_s = camera.shutter_deg / 360.0 / camera.frames_s
    squared = 1000.0 * klx * time_s * camera.iso / 340.0
    over = squared / camera.stop**2
    return [log2(1000.0 * klx / 3.4), sqrt(squared), camera.stop, log10(over), log2(over)]


def summed_share(side_m: float, away: Array, normal: Array) -> float:
    """Give ∫ cos θ₁ cos θ₂ / (π d²) over a square that looks along `normal`, for a small plane.

    The plane looks at the square's middle, which is `away` of it.
    """
    across = np.cross(normal, [0.0, 0.0, 1.0])
    across = across / np.linalg.norm(across) if np.linalg.norm(across) > 1e-9 else np.eye(3)[0]
    up = np.cross(across, normal)
    steps = (np.arange(PATCHES) + 0.5) / PATCHES * side_m - side_m / 2.0
    x, y = np.meshgrid(steps, steps)
    points = away + x[..., None] * across + y[..., None] * up
    far = np.linalg.norm(points, axis=-1)
    here = points @ (away / np.linalg.norm(away)) / far
    there = -points @ normal / far
    share = np.clip(here, 0, None) * np.clip(there, 0, None) / (pi * far**2)
    return float(share.sum()) * (side_m / PATCHES) ** 2


def shadow_boxes(
    frame: Any, subject_m: float, suns: list[tuple[float, float]]
) -> tuple[Array, Array, Array]:
    """Give where a cloth must lie for each sun, by rays from the subject to all of its disc.

    In the frame's plane, along and across the first sun: the middle's place for the first sun, and
    the least and the greatest place of the middle with which the subject is in full shadow.
    """
    heights, bearings = (np.radians(np.array(one)) for one in zip(*suns, strict=True))
    round_disc = np.linspace(0.0, 2.0 * pi, 48, endpoint=False)
    r = radians(DISC_DEG / 2.0)
    h = heights[:, None] + r * np.sin(round_disc)
    a = bearings[:, None] - bearings[0] + r * np.cos(round_disc) / np.cos(heights)[:, None]
    reach = frame.above_m / np.tan(h)
    places = np.stack([reach * np.cos(a), reach * np.sin(a)], axis=-1)
    half = (frame.side_m - CLOTH_UNDER_M - subject_m) / 2.0
    first = np.array([frame.above_m / tan(heights[0]), 0.0])
    return first, places.max(axis=1) - half, places.min(axis=1) + half


def covered(frame: Any, subject_m: float, suns: list[tuple[float, float]], *, led: bool) -> int:
    """Count the minutes for which one place of the cloth keeps the subject in full shadow."""
    first, least, most = shadow_boxes(frame, subject_m, suns)
    if led:
        low, high = np.maximum.accumulate(least), np.minimum.accumulate(most)
        inside = np.asarray(low <= high).all(axis=1)
    else:
        inside = np.asarray((least <= first) & (first <= most)).all(axis=1)
    return inside.size if inside.all() else int(np.argmin(inside))


def full_shadow(frame: Any, sun: tuple[float, float]) -> tuple[float, float]:
    """Give how large a square along and across the sun can be in full shadow."""
    _, least, most = shadow_boxes(frame, 0.0, [sun])
    along, across = most[0] - least[0]
    return float(along), float(across)


def in_picture(lens_mm: float, camera: Any, height_deg: float, turned: float, tilt: float) -> str:
    """Say where the sun falls on the sensor of a lens that is tilted up."""
    east, north, up = toward(height_deg, turned)
    t = radians(tilt)
    ahead, over = north * cos(t) + up * sin(t), up * cos(t) - north * sin(t)
    if ahead <= 0.0:
        return "clear of the frame"
    wide = camera.sensor_width_mm * camera.squeeze / 2.0
    high = camera.sensor_width_mm / camera.aspect / 2.0
    x, y = (abs(lens_mm * one / ahead) for one in (east, over))
    if x <= wide and y <= high:
        return "in frame"
    edge = [np.degrees(np.arctan(one / lens_mm)) for one in (x, y, wide, high)]
    return (
        "near frame" if edge[0] <= edge[2] + 5 and edge[1] <= edge[3] + 5 else "clear of the frame"
    )


@cache
def colour_mired(height_deg: float, depth: float) -> dict[str, float]:
    """Give the colour of sun, sky and both: spectra, the CIE's observer, the nearest black body.

    Bird and Riordan's spectra (pvlib); the observer by the formulas of Wyman, Sloan and Shirley
    (Journal of Computer Graphics Techniques 2(2), 2013); distances in the CIE 1960 diagram.
    """
    zenith = 90.0 - height_deg
    found = pvlib.spectrum.spectrl2(
        zenith, zenith, 0.0, 0.2, 101_325.0,
        pvlib.atmosphere.get_relative_airmass(zenith), 1.5, 0.31, depth, dayofyear=172,
    )  # fmt: skip
    nm = np.arange(380.0, 781.0, 5.0)
    sun, sky = (np.interp(nm, found["wavelength"], found[one].ravel()) for one in ("dni", "dhi"))
    kelvin = 1e6 / np.arange(40.0, 420.0, 0.5)
    # Planck's law, c₂ = 0.014388 m K.
    black = (nm * 1e-9) ** -5.0 / (np.exp(0.014388 / (nm * 1e-9 * kelvin[:, None])) - 1.0)
    locus = _uv(nm, black)
    parts = {"sun": sun, "sky": sky, "both": sun * sin(radians(height_deg)) + sky}
    return {
        name: float(1e6 / kelvin[np.argmin(np.hypot(*(locus - _uv(nm, power)).T))])
        for name, power in parts.items()
    }


def _uv(nm: Array, power: Array) -> Array:
    def hump(at: float, low: float, high: float) -> Array:
        return np.exp(-0.5 * ((nm - at) * np.where(nm < at, low, high)) ** 2)

    x = (
        1.056 * hump(599.8, 1 / 37.9, 1 / 31.0)
        + 0.362 * hump(442.0, 1 / 16.0, 1 / 26.7)
        - 0.065 * hump(501.1, 1 / 20.4, 1 / 26.2)
    )
    y = 0.821 * hump(568.8, 1 / 46.9, 1 / 40.5) + 0.286 * hump(530.9, 1 / 16.3, 1 / 31.1)
    z = 1.217 * hump(437.0, 1 / 11.8, 1 / 36.0) + 0.681 * hump(459.0, 1 / 26.0, 1 / 13.8)
    tristimulus = [(power * one).sum(axis=-1) for one in (x, y, z)]
    below = tristimulus[0] + 15.0 * tristimulus[1] + 3.0 * tristimulus[2]
    return np.stack([4.0 * tristimulus[0] / below, 6.0 * tristimulus[1] / below], axis=-1)


def minutes(start: datetime, count: int) -> list[datetime]:
    """Give a moment for each minute."""
    return [start + timedelta(minutes=minute) for minute in range(count)]
