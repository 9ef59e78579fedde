"""A spot by its name, and the sun over a day's date: for the commands about the place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sunsched.cli.shared.wrong_use import refuse

if TYPE_CHECKING:
    from sunsched.day.model import Day, Spot
    from sunsched.sky.track import SunTrack


def find_spot(asked: Day, name: str, named_by: str) -> Spot:
    """Give the spot that a name spells; an unknown one is wrong use, told with the nearest."""
    from sunsched.folder.text import words

    spots = {words.key_of(one.name): one for one in asked.spots}
    found = spots.get(words.key_of(name))
    if found is None:
        names = [one.name for one in asked.spots]
        hint = words.did_you_mean(name, names)
        refuse(named_by, "no such spot", name, expected=words.listed(names), hint=hint)
    return found


def day_track(asked: Day) -> SunTrack:
    """Give the sun from the date's first minute to its last, or to the hard wrap after it."""
    from datetime import datetime, time, timedelta

    from sunsched.sky.track import sun_track

    zone = asked.place.zone
    start = datetime.combine(asked.date, time(), zone)
    end = datetime.combine(asked.date + timedelta(days=1), time(), zone)
    return sun_track(asked.place, start, max(end, asked.hours.hard_wrap))
