"""A moment on the clock of the place, as every text of a day has it."""

from __future__ import annotations

from datetime import datetime, timedelta

from sunsched.day.model import Day

AGAIN = "*"


def clock(day: Day, when: datetime, *, seconds: bool = False) -> str:
    """Write a moment on the local clock; `+1` or `-1` marks the next or the last date.

    A star marks the second of two like hours, on the night when the clock is put back.
    """
    half = timedelta(seconds=0.5 if seconds else 30)
    local = (when + half).astimezone(day.place.zone)
    apart = (local.date() - day.date).days
    return (
        f"{local:%H:%M:%S}"[: 8 if seconds else 5]
        + (f"{apart:+}" if apart else "")
        + AGAIN * local.fold
    )


def local_text(day: Day, when: datetime | None) -> str | None:
    """Write a moment for programs, to the nearest second; None for none."""
    if when is None:
        return None
    rounded = (when + timedelta(microseconds=500_000)).replace(microsecond=0)
    return rounded.astimezone(day.place.zone).isoformat()


def instant_ms(when: datetime) -> int:
    """Give a moment as scripts count it: in milliseconds since 1970."""
    return round(when.timestamp() * 1000)
