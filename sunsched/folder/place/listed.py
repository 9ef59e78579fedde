"""astral's own short list of towns: spellings that the gazetteer does not have."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sunsched.day.model import Place

if TYPE_CHECKING:
    from astral import LocationInfo


def find_place(name: str) -> Place | None:
    """Look a town up by name, or by `name, region`; None when astral's list does not have it.

    The list knows no heights, so `elevation_m` is 0, to be put right by hand.
    """
    wanted = _key(name)
    for location in _locations():
        if wanted in (_key(location.name), _key(f"{location.name},{location.region}")):
            return Place(
                name=location.name,
                latitude_deg=round(location.latitude, 4),
                longitude_deg=round(location.longitude, 4),
                elevation_m=0.0,
                timezone=location.timezone,
            )
    return None


def _locations() -> Iterator[LocationInfo]:
    """Go through astral's list without the places that it has on the wrong side of the globe.

    A longitude of the wrong sign or a zone of another country (five of 386 in astral 3.2) shows in
    the clock: mean noon falls far from 12:00.
    """
    from astral import geocoder

    winter = datetime(2026, 1, 15, 12, tzinfo=UTC)
    for location in geocoder.all_locations(geocoder.database()):
        offset = winter.astimezone(ZoneInfo(location.timezone)).utcoffset() or timedelta()
        early_h = offset / timedelta(hours=1) - location.longitude / 15
        # Round the clock, because a zone may lie on either side of the date line.
        if abs((early_h + 12) % 24 - 12) < 3:
            yield location


def _key(name: str) -> str:
    return "".join(name.casefold().replace("_", " ").split())
