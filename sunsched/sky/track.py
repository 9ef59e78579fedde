"""Where the sun stands: one value a minute, or one at any moment.

All positions come from pvlib's implementation of NREL's solar position algorithm (Reda & Andreas,
Solar Energy 76(5):577-589, 2004, with the corrigendum 81(6):838, 2007), run on UTC instants.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from importlib.util import find_spec, module_from_spec, spec_from_file_location
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from sunsched.day.model import Place

FloatArray: TypeAlias = npt.NDArray[np.float64]

# Air at sea level whatever the height of the place: the same air that the -50' of a published
# sunrise assumes. Thinner air at 3000 m would bend the light of a setting sun by 0.15° less.
PRESSURE_PA = 101_325.0
TEMPERATURE_C = 12.0

# Terrestrial time minus universal time. Within 3 s of the truth from 2000 to 2026, and 10 s more or
# less would move the sun by 0.0001°.
DELTA_T_S = 67.0

# SPA bends no light below this geometric elevation: the upper limb on a level horizon.
REFRACTION_AT_RISING_DEG = 0.5667
REFRACTION_EDGE_DEG = -(0.26667 + REFRACTION_AT_RISING_DEG)
REFRACTION_FADE_DEG = 2.0

_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class SunPosition:
    """The sun at one moment; the conventions are those of `SunTrack`."""

    time: datetime
    azimuth_deg: float
    elevation_deg: float
    apparent_elevation_deg: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpaValues:
    """What SPA gives at some moments, as it comes: arrays of the shape (moments,)."""

    azimuth_deg: FloatArray
    elevation_deg: FloatArray
    apparent_elevation_deg: FloatArray
    equation_of_time_min: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SunTrack:
    """The sun's centre, one value a minute from `start` (UTC, a whole minute).

    Azimuth is degrees clockwise from true north, 0 to 360. Elevation is degrees above the level
    horizon, topocentric: `elevation_deg` geometric, `apparent_elevation_deg` as the eye and the
    lens see it through standard air at sea level. The apparent elevation has SPA's refraction down
    to a geometric elevation of -0.8333°; the refraction then fades to nothing over the next 2°, so
    that no curve jumps. Future positions assume UT1 = UTC, as past ones do: the two have been kept
    within 0.9 s of each other, which is 0.004° of the sky.

    All arrays have the shape (minutes,).
    """

    start: datetime
    azimuth_deg: FloatArray
    elevation_deg: FloatArray
    apparent_elevation_deg: FloatArray

    def __len__(self) -> int:
        return self.azimuth_deg.size

    def minute_of(self, when: datetime) -> int:
        """Give the index of the minute that holds `when`; may lie outside the track."""
        return (when - self.start) // _MINUTE

    def time_of(self, minute: int) -> datetime:
        """Give the moment of an index, in UTC."""
        return self.start + minute * _MINUTE

    def at_halves(self, halves: npt.ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Give azimuth, elevation and apparent elevation at half minutes from the start.

        Parameters
        ----------
        halves : whole numbers of any shape; beyond the track they are held at its ends. Between two
            minutes stands the middle of the great circle, which the sun leaves by less than 0.0001°
        """
        at = np.clip(np.asarray(halves, dtype=np.int64), 0, 2 * (len(self) - 1))
        first, second = at // 2, (at + 1) // 2
        ends = (self._towards(first), self._towards(second))
        north, east, up = ((one + other) / 2 for one, other in zip(*ends, strict=True))
        is_whole = first == second
        between = np.degrees(np.arctan2(east, north)) % 360.0
        risen = np.degrees(np.arctan2(up, np.hypot(east, north)))
        apparent = (self.apparent_elevation_deg[first] + self.apparent_elevation_deg[second]) / 2
        return (
            np.where(is_whole, self.azimuth_deg[first], between),
            np.where(is_whole, self.elevation_deg[first], risen),
            apparent,
        )

    def _towards(self, minutes: npt.NDArray[np.int64]) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Give the direction of the sun: how far it points north, east and up."""
        azimuth = np.radians(self.azimuth_deg[minutes])
        elevation = np.radians(self.elevation_deg[minutes])
        flat = np.cos(elevation)
        return flat * np.cos(azimuth), flat * np.sin(azimuth), np.sin(elevation)


def sun_track(place: Place, start: datetime, end: datetime) -> SunTrack:
    """Compute the sun for every whole minute from the minute of `start` up to `end`, both included.

    Parameters
    ----------
    place : latitude north and longitude east positive, degrees
    start, end : aware moments

    Returns
    -------
    SunTrack
        Azimuth, and height without and with refraction, degrees: arrays of shape (minutes,).
        NREL's algorithm (Reda and Andreas, Solar Energy 76, 2004).

    Raises
    ------
    ValueError
        If a time is naive, or `end` comes before `start`.

    Examples
    --------
    >>> import sunsched
    >>> day = sunsched.example_day()
    >>> track = sunsched.sun_track(day.place, day.hours.crew_call, day.hours.wrap)
    >>> len(track)
    541
    """
    first = utc(start).replace(second=0, microsecond=0)
    if utc(end) < first:
        raise ValueError(f"the track ends at {end} before it starts at {start}")
    minutes = (utc(end) - first) // _MINUTE + 1
    azimuth, elevation, apparent = solar_position(
        place, first.timestamp() + 60.0 * np.arange(minutes, dtype=np.float64)
    )
    return SunTrack(
        start=first,
        azimuth_deg=azimuth,
        elevation_deg=elevation,
        apparent_elevation_deg=apparent,
    )


def sun_at(place: Place, when: datetime) -> SunPosition:
    """Compute the sun at one moment, to the microsecond; raises ValueError on a naive time."""
    moment = utc(when)
    azimuth, elevation, apparent = solar_position(place, np.array([moment.timestamp()]))
    return SunPosition(
        time=moment,
        azimuth_deg=float(azimuth[0]),
        elevation_deg=float(elevation[0]),
        apparent_elevation_deg=float(apparent[0]),
    )


def solar_position(place: Place, unix_s: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Compute azimuth, geometric and apparent elevation in degrees at Unix times of shape (n,).

    Conventions and refraction as `SunTrack` states them; three arrays of shape (n,).
    """
    spa = spa_values(place, unix_s)
    below = spa.elevation_deg < REFRACTION_EDGE_DEG
    faded = spa.elevation_deg + _faded_refraction_deg(spa.elevation_deg)
    return spa.azimuth_deg, spa.elevation_deg, np.where(below, faded, spa.apparent_elevation_deg)


def spa_values(place: Place, unix_s: FloatArray) -> SpaValues:
    """Run pvlib's SPA at Unix times of shape (n,): its values as they come."""
    # Never pvlib's numba path: it compiles for seconds and gains nothing on a day's 1440 values.
    _, _, apparent, elevation, azimuth, equation = _spa().solar_position_numpy(
        unix_s,
        place.latitude_deg,
        place.longitude_deg,
        place.elevation_m,
        PRESSURE_PA / 100,
        TEMPERATURE_C,
        DELTA_T_S,
        REFRACTION_AT_RISING_DEG,
        numthreads=1,
    )
    return SpaValues(
        azimuth_deg=azimuth,
        elevation_deg=elevation,
        apparent_elevation_deg=apparent,
        equation_of_time_min=equation,
    )


def separation_deg(
    azimuth_a_deg: npt.ArrayLike,
    elevation_a_deg: npt.ArrayLike,
    azimuth_b_deg: npt.ArrayLike,
    elevation_b_deg: npt.ArrayLike,
) -> FloatArray:
    """Measure the great-circle angle between directions on the sky, 0 to 180; inputs broadcast.

    The haversine form keeps its precision for directions that nearly coincide, where the cosine
    rule loses it (R. W. Sinnott, "Virtues of the haversine", Sky and Telescope 68:159, 1984).
    """
    azimuth_a, elevation_a, azimuth_b, elevation_b = (
        np.radians(np.asarray(angle, dtype=np.float64))
        for angle in (azimuth_a_deg, elevation_a_deg, azimuth_b_deg, elevation_b_deg)
    )
    haversine = (
        np.sin((elevation_b - elevation_a) / 2) ** 2
        + np.cos(elevation_a) * np.cos(elevation_b) * np.sin((azimuth_b - azimuth_a) / 2) ** 2
    )
    return np.asarray(np.degrees(2 * np.arcsin(np.sqrt(np.clip(haversine, 0.0, 1.0)))))


def sun_from_lens_deg(azimuth_deg: npt.ArrayLike, look_deg: npt.ArrayLike) -> FloatArray:
    """Turn sun azimuths into angles from the lens's look, above -180 to 180, camera right positive.

    0 is the sun straight ahead of the lens, 180 straight behind it; inputs broadcast.
    """
    difference = np.asarray(azimuth_deg, dtype=np.float64) - np.asarray(look_deg, dtype=np.float64)
    return np.asarray(180.0 - (180.0 - difference) % 360.0)


def utc(when: datetime) -> datetime:
    """Give an aware time in UTC; raises ValueError on a naive one."""
    if when.utcoffset() is None:
        raise ValueError(f"the time {when} has no zone")
    return when.astimezone(UTC)


def _faded_refraction_deg(elevation_deg: FloatArray) -> FloatArray:
    at_edge = _spa().atmospheric_refraction_correction(
        PRESSURE_PA / 100, TEMPERATURE_C, REFRACTION_EDGE_DEG, REFRACTION_AT_RISING_DEG
    )
    below_edge = REFRACTION_EDGE_DEG - elevation_deg
    return np.asarray(at_edge * np.clip(1 - below_edge / REFRACTION_FADE_DEG, 0.0, 1.0))


@cache
def _spa() -> Any:
    """Load pvlib's module of SPA by itself.

    It needs numpy alone, while `import pvlib` also loads scipy, pandas and a web client, which
    takes longer than planning a day.
    """
    package = find_spec("pvlib")
    if package is None or package.origin is None:
        raise ImportError("pvlib is not installed")
    spec = spec_from_file_location("pvlib_spa", Path(package.origin).with_name("spa.py"))
    if spec is None or spec.loader is None:
        raise ImportError("pvlib has no module `spa`")
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
