"""The files of a new day at a place on a date, for the commands that make one."""

from __future__ import annotations

import typer

from sunsched.errors import SunschedError


def new_day_texts(title: str, at: str, date: str) -> dict[str, str]:
    """Give the texts of a starter day's files by name; what is asked for wrongly is told."""
    from datetime import timedelta

    from sunsched.folder.starter import starter_texts
    from sunsched.folder.text.clock import calendar_date
    from sunsched.folder.text.words import WordError
    from sunsched.sky.events import sun_events
    from sunsched.sky.opinion import find_place, nearest_places
    from sunsched.sky.track import sun_at

    try:
        on = calendar_date(date)
    except WordError as error:
        raise typer.BadParameter(f"`{date}` is {error.problem}", param_hint="--date") from None
    place = find_place(at)
    if place is None:
        near = ", ".join(f"`{name}`" for name in nearest_places(at))
        hints = [f"did you mean {near}?"] if near else []
        hints.append("take any larger town, then edit its coordinates and time zone in day.toml")
        lines = "".join(f"\n  hint: {hint}" for hint in hints)
        raise SunschedError(f"no such place in the list: `{at}`{lines}")
    events = sun_events(place, on)
    quarter = timedelta(hours=3)
    if events.sunrise is not None and events.sunset is not None:
        quarter = min(quarter, (events.sunset - events.sunrise) / 4)
    return starter_texts(
        title=title,
        place=place,
        on=on,
        sunrise=events.sunrise and events.sunrise.astimezone(place.zone),
        sunset=events.sunset and events.sunset.astimezone(place.zone),
        morning_deg=sun_at(place, events.solar_noon - quarter).azimuth_deg,
        afternoon_deg=sun_at(place, events.solar_noon + quarter).azimuth_deg,
    )
