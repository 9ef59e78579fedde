"""Time zones by coordinates, and what mends a zone that is not the one there.

The boundaries are those of tzfpy (OpenStreetMap's, ODbL), made a little simpler.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from sunsched.folder.place.coordinates import MAX_LATITUDE

# A crew near a border, or on a boat, may keep the clock of the other side.
BORDER_KM = 50.0
KM_A_DEGREE = 111.2
SEA = "Etc/"  # how the zones of the open sea are named
OF_NO_PLACE = ("Etc/", "UTC", "UCT", "GMT", "Universal", "Zulu", "Greenwich")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """What mends coordinates that lie in another zone: the key and the figures to write."""

    key: str
    text: str
    latitude_deg: float
    longitude_deg: float


def zone_at(latitude_deg: float, longitude_deg: float) -> str:
    """Give the zone at a point: at sea that of the nearest land, or a zone of the open sea.

    Where two zones are kept side by side, the one that the boundaries name first.
    """
    every = zones_near(latitude_deg, longitude_deg)
    return next((zone for zone in every if not zone.startswith(SEA)), every[0])


@lru_cache(maxsize=4096)
def zones_near(latitude_deg: float, longitude_deg: float) -> tuple[str, ...]:
    """Give the zones at a point and within 50 km of it, nearest first."""
    # Imported here, as it takes a tenth of a second to unpack the boundaries.
    import tzfpy

    first = tzfpy.get_tz(longitude_deg, latitude_deg)
    found = [first, *tzfpy.get_tzs(longitude_deg, latitude_deg)]
    for latitude, longitude in _around(latitude_deg, longitude_deg):
        found.append(tzfpy.get_tz(longitude, latitude))
    return tuple(dict.fromkeys(filter(None, found))) or ("Etc/UTC",)


def is_of_no_place(zone: str) -> bool:
    """Say whether a zone is a clock alone, which somebody wrote on purpose: UTC, `Etc/GMT+1`."""
    return zone.startswith(OF_NO_PLACE)


def is_there(zone: str, latitude_deg: float, longitude_deg: float) -> bool:
    """Say whether a zone is one at a point or near it, by this name or an old one."""
    return any(_is_same(zone, other) for other in zones_near(latitude_deg, longitude_deg))


def shows_the_time(zone: str, latitude_deg: float, longitude_deg: float, on: date) -> bool:
    """Say whether a zone's clock is kept on land at a point, or near it, all through a date."""
    near = (one for one in zones_near(latitude_deg, longitude_deg) if not one.startswith(SEA))
    return _clock(zone, on) in {_clock(one, on) for one in near}


def is_at_sea(latitude_deg: float, longitude_deg: float) -> bool:
    """Say whether a point lies at sea, with no land near."""
    return all(one.startswith(SEA) for one in zones_near(latitude_deg, longitude_deg))


def mend(zone: str, latitude_deg: float, longitude_deg: float) -> Mend | None:
    """Find the swap or the sign that brings coordinates into a zone; None where none does."""
    for one in _mends(latitude_deg, longitude_deg):
        if is_there(zone, one.latitude_deg, one.longitude_deg):
            return one
    return None


def hours_ahead(zone: str, other: str, on: date) -> float:
    """Give by how many hours a zone's clock is ahead of another's at noon of a date."""
    one, two = (
        datetime.combine(on, time(12), ZoneInfo(name)).utcoffset() for name in (zone, other)
    )
    return ((one or timedelta()) - (two or timedelta())) / timedelta(hours=1)


def same_clock(zone: str, on: date) -> str:
    """Give the zone of no place that shows this zone's time on a date, to be kept on purpose."""
    offset = datetime.combine(on, time(12), ZoneInfo(zone)).utcoffset() or timedelta()
    hours = offset // timedelta(hours=1)
    # The names of these zones count westward.
    return f"{SEA}GMT{-hours:+d}" if hours else f"{SEA}UTC"


def _mends(latitude: float, longitude: float) -> Iterator[Mend]:
    """Give what people get wrong, the commonest first: one sign, a swap, more than one thing."""
    swapped = ("latitude_deg", "swap latitude and longitude")
    for key, text, lat, lon in (
        ("longitude_deg", f"write `longitude_deg = {-longitude:g}`", latitude, -longitude),
        ("latitude_deg", f"write `latitude_deg = {-latitude:g}`", -latitude, longitude),
        (*swapped, longitude, latitude),
        ("latitude_deg", "turn the signs of both round", -latitude, -longitude),
        (swapped[0], f"{swapped[1]}, and turn the sign of the longitude", longitude, -latitude),
        (swapped[0], f"{swapped[1]}, and turn the sign of the latitude", -longitude, latitude),
        (swapped[0], f"{swapped[1]}, and turn both signs", -longitude, -latitude),
    ):
        if abs(lat) <= MAX_LATITUDE and (lat, lon) != (latitude, longitude):
            yield Mend(key=key, text=text, latitude_deg=lat, longitude_deg=lon)


def _around(latitude: float, longitude: float) -> Iterator[tuple[float, float]]:
    for km in (BORDER_KM / 5, BORDER_KM / 2, BORDER_KM):
        for eighth in range(8):
            angle = math.radians(45 * eighth)
            lat = latitude + km / KM_A_DEGREE * math.cos(angle)
            wide = KM_A_DEGREE * max(0.01, math.cos(math.radians(latitude)))
            lon = (longitude + km / wide * math.sin(angle) + 180) % 360 - 180
            if abs(lat) <= MAX_LATITUDE:
                yield lat, lon


@lru_cache(maxsize=4096)
def _is_same(zone: str, other: str) -> bool:
    """Say whether two names are one zone; an old name has the history of the new one."""
    return zone == other or all(
        _clock(zone, date(year, month, 1)) == _clock(other, date(year, month, 1))
        for year in range(1970, 2030)
        for month in (1, 4, 7, 10)
    )


def _clock(zone: str, on: date) -> tuple[timedelta | None, ...]:
    """Give a zone's offsets through a date: what its clock shows, summer time included."""
    there = ZoneInfo(zone)
    return tuple(datetime.combine(on, time(hour), there).utcoffset() for hour in (0, 6, 12, 18, 23))
