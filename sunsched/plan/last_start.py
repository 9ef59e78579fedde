"""The last start of a shot: the latest roll that keeps its light, and what limits it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from sunsched.day.clock import clock
from sunsched.day.model import Shot
from sunsched.light.fit import HALF, DayFit
from sunsched.plan.availability import needs


def last_start(fit: DayFit, shot: Shot, roll_start: datetime) -> datetime | None:
    """Give the latest roll, from the planned one on, that keeps half the shot's own fit.

    A held shot keeps its hold too, and a pinned one its minute; no roll runs past the hard wrap,
    nor past the hours of its cast or its spot in which it is planned. None when the planned roll
    itself keeps less than half.
    """
    own = fit.shots[shot.id]
    latest: int | None = None
    minute = fit.minute_of(roll_start)
    end = _until(fit, shot, minute)
    while minute + shot.shoot_min <= end and own.mean[minute] >= HALF:
        if shot.hold and not own.held[minute : minute + shot.shoot_min].all():
            break
        latest = minute
        minute += 1
    return None if latest is None else fit.time_of(latest)


def _until(fit: DayFit, shot: Shot, minute: int) -> int:
    """Give the minute by which a shot must be made, at or after its planned roll."""
    if shot.pin is not None:
        return minute + shot.shoot_min
    return min(end for end, _ in _ends(fit, shot, minute))


def _ends(fit: DayFit, shot: Shot, minute: int) -> Iterator[tuple[int, str]]:
    """Yield the ends of the stretches that a shot is planned in, each with what ends there."""
    for need in needs(fit, shot):
        for first, last in need.stretches:
            if need.until and first <= minute < last:
                yield last, need.until
    yield fit.minute_of(fit.day.hours.hard_wrap), "which has time"


def hurry(fit: DayFit, shot: Shot, roll_start: datetime, last: datetime) -> str:
    """Say what ends the time for a shot: a cast member who leaves, its spot, or its light."""
    over = last + timedelta(minutes=shot.shoot_min)
    for end, named in _ends(fit, shot, fit.minute_of(roll_start)):
        if end == fit.minute_of(over):
            return f"{named} only until {clock(fit.day, over)}"
    return f"which keeps its light only until {clock(fit.day, over)}"
