"""The stretches of a day in which a shot may roll: the hours, its cast, its hold and its spot."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sunsched.day.model import Shot
from sunsched.light.fit import DayFit
from sunsched.light.stretches import Minutes
from sunsched.plan.availability import needs


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """One stretch in which a shot may roll, in minutes of the track.

    It rolls at `first` or later and has ended by `last`. Its build at the spot starts at
    `built_from` or later; `opening` is the same number for stretches that one opening of the spot
    holds.
    """

    first: int
    last: int
    built_from: int
    opening: int


def rooms(fit: DayFit, shot: Shot, within: Minutes | None = None) -> tuple[Room, ...]:
    """List the stretches that have room for a shot's planned roll, in order of time.

    Parameters
    ----------
    within : minutes of the track that somebody wants it to roll in, beside all rules
    """
    day = fit.day
    call, hard_wrap = fit.minute_of(day.hours.crew_call), fit.minute_of(day.hours.hard_wrap)
    # On a day that has begun, nothing rolls before the crew is free.
    free = call if day.past is None else fit.minute_of(day.past.free_at)
    ways, openings = [(free, hard_wrap)], [(call, hard_wrap)]
    if within is not None:
        ways = _both(ways, [within])
    for need in needs(fit, shot):
        if need.rule == "pin":
            continue  # a pinned shot that is late is made late
        if need.is_for_build:
            openings = sorted(need.stretches)
        else:
            ways = _both(ways, need.stretches)
    return tuple(
        Room(first=first, last=last, built_from=opening[0], opening=number)
        for number, opening in enumerate(openings)
        for first, last in _both(ways, [opening])
        if last - first >= shot.shoot_min
    )


def _both(some: Iterable[Minutes], others: Iterable[Minutes]) -> list[Minutes]:
    """Give what lies in a stretch of each of two lists."""
    pairs = [(max(a, c), min(b, d)) for a, b in some for c, d in others]
    return sorted((first, last) for first, last in pairs if first < last)
