"""What astral says: a second opinion on our sun, and the moon's phase.

astral follows NOAA's solar calculator, with a theory and code of its own, so its agreement is worth
something. It is less exact than our track: by up to 0.013° in a position; and as it bends light at
the horizon by a rule of its own, by some 15 s in sunrise and sunset, and by minutes where the sun
sets at a small angle to the horizon.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from sunsched.day.model import Place
from sunsched.sky.events import sun_events
from sunsched.sky.track import SunPosition, separation_deg, sun_at

_HALF_DAY = timedelta(hours=12)
_PHASES = (
    "new moon",
    "waxing crescent",
    "first quarter",
    "waxing gibbous",
    "full moon",
    "waning gibbous",
    "last quarter",
    "waning crescent",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class EventOpinion:
    """One event as we and as astral have it, UTC; None is an event that one of us does not see."""

    name: str
    ours: datetime | None
    theirs: datetime | None

    @property
    def difference_s(self) -> float | None:
        """Seconds by which astral's event is later than ours."""
        if self.ours is None or self.theirs is None:
            return None
        return (self.theirs - self.ours).total_seconds()


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondOpinion:
    """Sunrise, solar noon and sunset by both, and both suns (geometric) at our solar noon."""

    events: tuple[EventOpinion, ...]
    ours_at_noon: SunPosition
    theirs_azimuth_deg: float
    theirs_elevation_deg: float

    @property
    def apart_deg(self) -> float:
        """Degrees on the sky between the two suns at our solar noon."""
        return float(
            separation_deg(
                self.ours_at_noon.azimuth_deg,
                self.ours_at_noon.elevation_deg,
                self.theirs_azimuth_deg,
                self.theirs_elevation_deg,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class MoonPhase:
    """The moon at 0 h UTC of a date, good to about a day; `illumination` is the lit share, 0..1."""

    name: str
    illumination: float


def second_opinion(place: Place, on: date) -> SecondOpinion:
    """Ask astral about the solar day whose noon falls on the local date `on`."""
    # Imported here, as everything of astral in this module, to keep `--help` quick.
    from astral import Observer, sun

    # Height 0: a height would make astral lower the horizon as if the place were a lone peak.
    observer = Observer(place.latitude_deg, place.longitude_deg, 0.0)
    ours = sun_events(place, on)
    noon = ours.solar_noon
    theirs_noon = _event(sun.noon, observer, noon - _HALF_DAY, noon + _HALF_DAY, noon)
    theirs_sunrise = _event(sun.sunrise, observer, noon - _HALF_DAY, noon, noon)
    theirs_sunset = _event(sun.sunset, observer, noon, noon + _HALF_DAY, noon)
    return SecondOpinion(
        events=(
            EventOpinion(name="sunrise", ours=ours.sunrise, theirs=theirs_sunrise),
            EventOpinion(name="solar noon", ours=noon, theirs=theirs_noon),
            EventOpinion(name="sunset", ours=ours.sunset, theirs=theirs_sunset),
        ),
        ours_at_noon=sun_at(place, noon),
        theirs_azimuth_deg=sun.azimuth(observer, noon),
        theirs_elevation_deg=sun.elevation(observer, noon, with_refraction=False),
    )


def moon_phase(on: date) -> MoonPhase:
    """Name the moon's phase on a date (UTC) and tell how much of it is lit."""
    from astral import moon

    # astral counts 28 days from one new moon to the next.
    turn = moon.phase(on) / 28.0
    return MoonPhase(
        name=_PHASES[round(8 * turn) % 8],
        illumination=(1 - math.cos(2 * math.pi * turn)) / 2,
    )


def _event(
    finder: Callable[..., Any], observer: object, first: datetime, last: datetime, near: datetime
) -> datetime | None:
    """Find astral's event between two moments, nearest to `near`; its days are those of UTC."""
    found = []
    for days in (-1, 0, 1):
        try:
            found.append(finder(observer, date=(near + timedelta(days=days)).date(), tzinfo=UTC))
        except ValueError:
            # What astral raises when the sun does not rise or set, in several wordings.
            continue
    return min(
        (when for when in found if first <= when <= last),
        key=lambda when: abs(when - near),
        default=None,
    )
