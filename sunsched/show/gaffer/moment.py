"""Where a setup stands in the sun at the beginning, in the middle and at the end of its roll."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from sunsched.day.model import Day, Spot
from sunsched.sky.horizon import direct_share
from sunsched.sky.track import FloatArray, sun_from_lens_deg, sun_track

AFTER = timedelta(hours=6)  # how far ahead the shadow of a frame is followed


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """What is to be lit: a shot, or a spot and a look that somebody asks about.

    `lens_mm` and `rig` are None and "" where nobody has given them. Times are UTC.
    """

    title: str
    spot: Spot
    look_deg: float
    start: datetime
    end: datetime
    lens_mm: float | None = None
    rig: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sun:
    """The sun over a setup, minute by minute from the start of its roll.

    Attributes
    ----------
    azimuth_deg, elevation_deg : apparent, (minutes,), from the start for six hours
    roll_min : minutes of the roll
    arrives : share of the disc that no skyline hides, (minutes,)
    """

    azimuth_deg: FloatArray
    elevation_deg: FloatArray
    arrives: FloatArray
    roll_min: int

    @property
    def middle(self) -> int:
        """Give the minute in the middle of the roll."""
        return self.roll_min // 2

    def from_lens_deg(self, look_deg: float) -> FloatArray:
        """Give the sun's bearing from that of a lens at each minute, positive to the right."""
        return sun_from_lens_deg(self.azimuth_deg, look_deg)


def sun_over(day: Day, setup: Setup) -> Sun:
    """Follow the sun from the start of a setup's roll."""
    track = sun_track(day.place, setup.start, setup.start + AFTER)
    return Sun(
        azimuth_deg=np.asarray(track.azimuth_deg),
        elevation_deg=np.asarray(track.apparent_elevation_deg),
        arrives=direct_share(setup.spot.horizon, track),
        roll_min=max(1, round((setup.end - setup.start) / timedelta(minutes=1))),
    )
