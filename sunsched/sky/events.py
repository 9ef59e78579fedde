"""When the sun passes a height: rising, setting, twilight, noon, and any band's edge."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Literal

import numpy as np

from sunsched.day.model import Place
from sunsched.sky.track import FloatArray, solar_position, spa_values, utc

# Explanatory Supplement to the Astronomical Almanac, 3rd ed. (2013), 12.3.1 and 12.3.3: the centre
# of the sun, geometric, at 34' of refraction and 16' of semidiameter below a level horizon; then
# the three twilights.
SUNRISE_DEG = -50 / 60
CIVIL_DEG = -6.0
NAUTICAL_DEG = -12.0
ASTRONOMICAL_DEG = -18.0

_HALF_DAY_S = 43_200.0
_DAY_S = 86_400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """One passage of the sun's centre through an elevation, in UTC."""

    time: datetime
    rising: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SunEvents:
    """The events of one solar day in UTC; None is an event that does not happen."""

    astronomical_dawn: datetime | None
    nautical_dawn: datetime | None
    civil_dawn: datetime | None
    sunrise: datetime | None
    solar_noon: datetime
    sunset: datetime | None
    civil_dusk: datetime | None
    nautical_dusk: datetime | None
    astronomical_dusk: datetime | None


def crossings(
    place: Place, start: datetime, end: datetime, elevation_deg: float
) -> tuple[Crossing, ...]:
    """Find every passage of the sun's centre through a geometric elevation, in order of time.

    A parabola through three neighbouring minutes places each passage, so that even a sun that only
    grazes the elevation between two minutes is seen, in and out. Raises ValueError on a naive time.
    """
    unix_s = _minute_grid(utc(start).timestamp(), utc(end).timestamp())
    _, elevation, _ = solar_position(place, unix_s)
    return _crossings_on_grid(unix_s, elevation, elevation_deg)


def sun_events(place: Place, on: date) -> SunEvents:
    """Find the events of the solar day whose noon falls on the local date `on`.

    Dawns and sunrise are looked for in the 12 hours before that noon and dusks and sunset in the 12
    hours after it, so that a sun which sets after midnight still sets on the day it shone on. Only
    next to a pole, where the sun may rise past noon, the other half is looked at too.

    Parameters
    ----------
    place : latitude north and longitude east positive, degrees
    on : the local date

    Returns
    -------
    SunEvents
        Moments in UTC; None for what does not happen. Twilights end at 6, 12 and 18° below the
        horizon, and sunrise is 50' below it (Explanatory Supplement, 2013, 12.3).

    Examples
    --------
    >>> import sunsched
    >>> day = sunsched.example_day()
    >>> events = sunsched.sun_events(day.place, day.date)
    >>> print(f"{events.sunrise:%H:%M} {events.sunset:%H:%M} UTC")
    05:09 19:48 UTC
    """
    noon = solar_noon(place, on)
    unix_s, elevation = _solar_day(place, noon)

    def rising(elevation_deg: float) -> datetime | None:
        times = [c.time for c in _crossings_on_grid(unix_s, elevation, elevation_deg) if c.rising]
        return max((t for t in times if t <= noon), default=min(times, default=None))

    def setting(elevation_deg: float) -> datetime | None:
        found = _crossings_on_grid(unix_s, elevation, elevation_deg)
        times = [c.time for c in found if not c.rising]
        return min((t for t in times if t >= noon), default=max(times, default=None))

    return SunEvents(
        astronomical_dawn=rising(ASTRONOMICAL_DEG),
        nautical_dawn=rising(NAUTICAL_DEG),
        civil_dawn=rising(CIVIL_DEG),
        sunrise=rising(SUNRISE_DEG),
        solar_noon=noon,
        sunset=setting(SUNRISE_DEG),
        civil_dusk=setting(CIVIL_DEG),
        nautical_dusk=setting(NAUTICAL_DEG),
        astronomical_dusk=setting(ASTRONOMICAL_DEG),
    )


def solar_noon(place: Place, on: date) -> datetime:
    """Find the sun's upper transit on the local date `on`, in UTC.

    Where the clock runs half a day off the sun (a polar station on the time of its home port), a
    date may hold no transit or two; then the one nearest to 12:00 local is meant.
    """
    midday_s = datetime.combine(on, time(12), tzinfo=place.zone).timestamp()
    mean_noon_s = _HALF_DAY_S - 240.0 * place.longitude_deg
    nearest = round((midday_s - mean_noon_s) / _DAY_S)
    mean_s = mean_noon_s + _DAY_S * np.array([nearest - 1.0, nearest, nearest + 1.0])
    # The equation of time changes by up to 30 s a day. So its value at the mean noon gives a noon
    # that is 0.3 s off; its value at that noon gives the right one.
    noon_s = mean_s - _equation_of_time_s(place, mean_s - _equation_of_time_s(place, mean_s))
    return _moment(float(noon_s[np.argmin(np.abs(noon_s - midday_s))]))


def day_kind(place: Place, on: date) -> Literal["polar day", "polar night"] | None:
    """Name a solar day on which the sun neither rises nor sets; None for any other."""
    _, elevation = _solar_day(place, solar_noon(place, on))
    if elevation.min() > SUNRISE_DEG:
        return "polar day"
    if elevation.max() < SUNRISE_DEG:
        return "polar night"
    return None


def _solar_day(place: Place, noon: datetime) -> tuple[FloatArray, FloatArray]:
    noon_s = noon.timestamp()
    unix_s = _minute_grid(noon_s - _HALF_DAY_S, noon_s + _HALF_DAY_S)
    return unix_s, solar_position(place, unix_s)[1]


def _equation_of_time_s(place: Place, unix_s: FloatArray) -> FloatArray:
    minutes = spa_values(place, unix_s).equation_of_time_min
    return np.asarray(60.0 * minutes)


def _minute_grid(start_s: float, end_s: float) -> FloatArray:
    """Give steps of 60 s from `start_s` to the first at or past `end_s`, three at the least."""
    steps = max(2, int(np.ceil((end_s - start_s) / 60.0)))
    return start_s + np.linspace(0.0, end_s - start_s, steps + 1)


def _crossings_on_grid(
    unix_s: FloatArray, elevation_deg: FloatArray, threshold_deg: float
) -> tuple[Crossing, ...]:
    height = elevation_deg - threshold_deg
    step_s = float(unix_s[1] - unix_s[0])
    above = height >= 0
    found: list[tuple[float, bool]] = []
    for left in np.flatnonzero(above[1:] != above[:-1]):
        middle = max(int(left), 1)
        offset = int(left) - middle
        roots = [r for r in _roots(height, middle) if offset - 1e-9 <= r <= offset + 1 + 1e-9]
        # A parabola has a root between two values of different sign; rounding can only hide one
        # that lies on a grid point.
        root = roots[0] if roots else float(offset + (abs(height[left + 1]) < abs(height[left])))
        found.append((unix_s[middle] + root * step_s, bool(above[left + 1])))
    for middle in _grazes(height):
        roots = sorted(_roots(height, middle))
        if len(roots) == 2:
            enters_above = not above[middle]
            found.append((unix_s[middle] + roots[0] * step_s, enters_above))
            found.append((unix_s[middle] + roots[1] * step_s, not enters_above))
    return tuple(Crossing(time=_moment(float(t)), rising=rising) for t, rising in sorted(found))


def _grazes(height_deg: FloatArray) -> list[int]:
    """List the grid points where the sun turns back just short of the threshold."""
    before, here, after = height_deg[:-2], height_deg[1:-1], height_deg[2:]
    top = (here < 0) & (here > before) & (here >= after)
    bottom = (here >= 0) & (before >= 0) & (after >= 0) & (here < before) & (here <= after)
    return [int(i) + 1 for i in np.flatnonzero(top | bottom)]


def _roots(height_deg: FloatArray, middle: int) -> list[float]:
    """Solve the parabola through a grid point and its neighbours, in steps from that point."""
    before, here, after = (float(h) for h in height_deg[middle - 1 : middle + 2])
    curve = (before - 2 * here + after) / 2
    slope = (after - before) / 2
    discriminant = slope**2 - 4 * curve * here
    if discriminant <= 0:
        return []
    # The form that loses no digits when the parabola is nearly a line (Press et al., Numerical
    # Recipes, 5.6).
    q = -(slope + np.copysign(np.sqrt(discriminant), slope)) / 2
    return [float(here / q)] if curve == 0 else [float(q / curve), float(here / q)]


def _moment(unix_s: float) -> datetime:
    # By addition, because fromtimestamp refuses times before 1970 on some systems.
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=unix_s)
