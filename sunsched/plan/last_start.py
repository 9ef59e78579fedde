"""The last start of a shot: the latest roll that keeps its light, and what it cannot go past."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from sunsched.day.model import Day, Shot, Span
from sunsched.light.fit import HALF, DayFit


def last_start(fit: DayFit, shot: Shot, roll_start: datetime) -> datetime | None:
    """Give the latest roll, from the planned one on, that keeps half the shot's own fit.

    A held shot keeps its hold too, and a pinned one its minute; no roll runs past the hard wrap,
    nor past the hours of its cast or its spot in which it is planned. None when the planned roll
    itself keeps less than half.
    """
    own = fit.shots[shot.id]
    latest: int | None = None
    minute = fit.minute_of(roll_start)
    end = fit.minute_of(_until(fit.day, shot, roll_start))
    while minute + shot.shoot_min <= end and own.mean[minute] >= HALF:
        if shot.hold and not own.held[minute : minute + shot.shoot_min].all():
            break
        latest = minute
        minute += 1
    return None if latest is None else fit.time_of(latest)


def _until(day: Day, shot: Shot, roll_start: datetime) -> datetime:
    """Give the moment by which a shot must be made, at or after its planned roll."""
    if shot.pin is not None:
        return roll_start + timedelta(minutes=shot.shoot_min)
    return min(end for end, _ in _ends(day, shot, roll_start))


def _ends(day: Day, shot: Shot, roll_start: datetime) -> Iterator[tuple[datetime, str]]:
    """Yield the ends of the hours that a shot is planned in, each with whose they are."""
    for member in day.cast:
        if member.name in shot.cast:
            named = f"for which {member.name} is here"
            yield from ((end, named) for end in _ends_of(member.here, roll_start))
    for end in _ends_of(day.spot(shot.spot).open, roll_start):
        yield end, "whose spot is open"
    yield day.hours.hard_wrap, "which has time"


def _ends_of(spans: Sequence[Span], roll_start: datetime) -> Iterator[datetime]:
    return (span.end for span in spans if span.start <= roll_start < span.end)


def hurry(fit: DayFit, shot: Shot, roll_start: datetime, last: datetime) -> str:
    """Say what a shot cannot be made after: an actor who leaves, its spot, or its light."""
    over = last + timedelta(minutes=shot.shoot_min)
    for end, named in _ends(fit.day, shot, roll_start):
        if end == over:
            return f"{named} only until {local_text(fit.day, over)}"
    return f"which keeps its light only until {local_text(fit.day, over)}"


def local_text(day: Day, when: datetime) -> str:
    """Give a moment on the clock of the place."""
    return f"{when.astimezone(day.place.zone):%H:%M}"
