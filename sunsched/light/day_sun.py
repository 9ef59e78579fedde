"""The sun of a day on its minute grid, with its skylines and clouds: what all light is made of."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np

from sunsched.day.model import Day
from sunsched.sky.horizon import direct_share
from sunsched.sky.track import FloatArray, SunTrack, sun_track


@dataclass(frozen=True, slots=True, kw_only=True)
class DaySun:
    """The sun of a day on its minute grid, without its shots.

    `clear` is the share of the sun's disc above the skyline of each spot, `clouds` the share of
    minutes that clouds take.
    """

    of: tuple[object, ...] = field(repr=False)
    track: SunTrack
    clear: dict[str, FloatArray]
    clouds: FloatArray

    def is_of(self, day: Day) -> bool:
        """Say whether a day, perhaps one with other shots, has this same sun."""
        return self.of == _asked_of_the_sun(day)


def day_sun(day: Day) -> DaySun:
    """Compute the sun of the whole local day, its spots' skylines and its clouds."""
    midnight = datetime.combine(day.date, datetime.min.time(), tzinfo=day.place.zone)
    start = min(midnight.astimezone(day.hours.crew_call.tzinfo), day.hours.crew_call)
    next_midnight = datetime.combine(
        day.date + timedelta(days=1), datetime.min.time(), tzinfo=day.place.zone
    ).astimezone(day.hours.crew_call.tzinfo)
    end = max(next_midnight, day.hours.hard_wrap)
    track = sun_track(day.place, start, end)
    return DaySun(
        of=_asked_of_the_sun(day),
        track=track,
        clear={spot.name: direct_share(spot.horizon, track) for spot in day.spots},
        clouds=_cloud_cover(day, track),
    )


def _asked_of_the_sun(day: Day) -> tuple[object, ...]:
    return day.place, day.date, day.hours.crew_call, day.hours.hard_wrap, day.spots, day.clouds


def _cloud_cover(day: Day, track: SunTrack) -> FloatArray:
    """Give the forecast cloud cover at each minute; the first and last forecast are held."""
    if not day.clouds:
        return np.zeros(len(track))
    minutes = [(cloud.time - track.start).total_seconds() / 60.0 for cloud in day.clouds]
    covers = [cloud.cover for cloud in day.clouds]
    return np.interp(np.arange(len(track)), minutes, covers)
