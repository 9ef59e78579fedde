"""A starter day laid at its place: hours between sun and sun, looks toward where the sun stands."""

from __future__ import annotations

from datetime import date, time, timedelta

from sunsched.day.model import Place
from sunsched.folder.starter import laid_hours, starter_texts
from sunsched.sky.events import SunEvents, sun_events
from sunsched.sky.track import sun_at

FROM_NOON = timedelta(hours=3)  # of the two suns that the starter's shots look toward


def hours_by_sun(place: Place, on: date) -> tuple[SunEvents, tuple[time, time]]:
    """Give the sun's events of a date, and the call and the wrap that lie between them."""
    events = sun_events(place, on)
    sunrise = events.sunrise and events.sunrise.astimezone(place.zone)
    sunset = events.sunset and events.sunset.astimezone(place.zone)
    return events, laid_hours(sunrise, sunset)


def laid_texts(
    title: str, place: Place, on: date, hours: tuple[time, time], events: SunEvents
) -> dict[str, str]:
    """Give the text of each file of a starter day, by its name.

    Parameters
    ----------
    title : of the day
    place, on : where and when it is
    hours : call and wrap on the local clock
    events : the sun's events of that date
    """
    quarter = FROM_NOON
    if events.sunrise is not None and events.sunset is not None:
        quarter = min(quarter, (events.sunset - events.sunrise) / 4)
    return starter_texts(
        title=title,
        place=place,
        on=on,
        hours=hours,
        morning_deg=sun_at(place, events.solar_noon - quarter).azimuth_deg,
        afternoon_deg=sun_at(place, events.solar_noon + quarter).azimuth_deg,
    )
