"""The ground around a subject: what stands in which direction, how far, and how far it sinks.

Directions and distances are those of a straight line of sight on the WGS84 ellipsoid (a = 6378137
m, f = 1/298.257223563; NIMA TR8350.2, 3rd ed., 2000), whose curvature is that of a sphere.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sunsched.sky.track import FloatArray

SEMI_MAJOR_M = 6_378_137.0
FLATTENING = 1 / 298.257223563
ECCENTRICITY_2 = FLATTENING * (2 - FLATTENING)
EARTH_M = 6_371_000.0  # mean radius

# Rays near the ground bend with the earth, by this share of its curvature. 0.13 is what Gauss found
# at the survey of Hannover, and is what surveyors take (from memory: Torge and Müller, Geodesy, 4th
# ed., 2012).
REFRACTION = 0.13
BENT_EARTH_M = EARTH_M / (1 - REFRACTION)


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A point on the ground from which directions are seen, degrees north and east."""

    latitude_deg: float
    longitude_deg: float

    def moved(self, east_m: float, north_m: float) -> Station:
        """Give the station so many metres east and north."""
        azimuth = math.degrees(math.atan2(east_m, north_m))
        latitude, longitude = along_ray(self, azimuth, math.hypot(east_m, north_m))
        return Station(latitude_deg=float(latitude), longitude_deg=float(longitude))


def along_ray(
    station: Station, azimuth_deg: npt.ArrayLike, distance_m: npt.ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Give latitude and longitude, degrees, of the ground under rays; inputs broadcast.

    The distance is along the ground.
    """
    azimuth = np.radians(np.asarray(azimuth_deg, dtype=np.float64))
    angle = np.asarray(distance_m, dtype=np.float64) / EARTH_M
    across, down = EARTH_M * np.sin(angle), EARTH_M * (1 - np.cos(angle))
    east, north, up = _axes(station)
    start = _earth_centred(station.latitude_deg, station.longitude_deg)
    x, y, z = (
        start[axis]
        + across * (np.sin(azimuth) * east[axis] + np.cos(azimuth) * north[axis])
        - down * up[axis]
        for axis in range(3)
    )
    # Exact on the ellipsoid itself, from which the sphere strays by metres on the way.
    latitude = np.degrees(np.arctan2(z, (1 - ECCENTRICITY_2) * np.hypot(x, y)))
    return np.asarray(latitude), np.asarray(np.degrees(np.arctan2(y, x)))


def east_north_m(
    station: Station, latitude_deg: npt.ArrayLike, longitude_deg: npt.ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Give how far east and north of a station points of the ground are seen, metres."""
    there = _earth_centred(latitude_deg, longitude_deg)
    here = _earth_centred(station.latitude_deg, station.longitude_deg)
    east, north, _ = _axes(station)
    away = [one - float(other) for one, other in zip(there, here, strict=True)]
    return (
        np.asarray(sum(part * axis for part, axis in zip(away, east, strict=True))),
        np.asarray(sum(part * axis for part, axis in zip(away, north, strict=True))),
    )


def seen_at_deg(eye_m: float, height_m: npt.ArrayLike, distance_m: npt.ArrayLike) -> FloatArray:
    """Give the elevation at which ground of a height is seen from an eye, over the bent earth.

    Parameters
    ----------
    eye_m : height of the eye above sea, metres
    height_m : height of what is seen above sea, metres
    distance_m : along the ground, above 0
    """
    angle = np.asarray(distance_m, dtype=np.float64) / BENT_EARTH_M
    there = BENT_EARTH_M + np.asarray(height_m, dtype=np.float64)
    up = there * np.cos(angle) - (BENT_EARTH_M + eye_m)
    return np.asarray(np.degrees(np.arctan2(up, there * np.sin(angle))))


def sea_horizon_deg(eye_m: float) -> float:
    """Give the elevation of the sea's horizon from an eye above it: nought or below."""
    return -math.degrees(math.acos(BENT_EARTH_M / (BENT_EARTH_M + max(0.0, eye_m))))


def _earth_centred(
    latitude_deg: npt.ArrayLike, longitude_deg: npt.ArrayLike
) -> tuple[FloatArray, FloatArray, FloatArray]:
    latitude, longitude = (
        np.radians(np.asarray(one, dtype=np.float64)) for one in (latitude_deg, longitude_deg)
    )
    normal = SEMI_MAJOR_M / np.sqrt(1 - ECCENTRICITY_2 * np.sin(latitude) ** 2)
    return (
        normal * np.cos(latitude) * np.cos(longitude),
        normal * np.cos(latitude) * np.sin(longitude),
        normal * (1 - ECCENTRICITY_2) * np.sin(latitude),
    )


def _axes(station: Station) -> tuple[tuple[float, float, float], ...]:
    """Give the unit vectors east, north and up, earth-centred."""
    latitude, longitude = math.radians(station.latitude_deg), math.radians(station.longitude_deg)
    across, around = math.sin(latitude), math.sin(longitude)
    out, along = math.cos(latitude), math.cos(longitude)
    return (
        (-around, along, 0.0),
        (-across * along, -across * around, out),
        (out * along, out * around, across),
    )
