"""The stretches of a day in which a shot may roll: the hours, its cast, its hold and its spot."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from sunsched.day.model import Shot, Span
from sunsched.light.fit import BoolArray, DayFit

Minutes = tuple[int, int]
"""Minutes of the track, from the first up to but without the second."""


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


def rooms(fit: DayFit, shot: Shot) -> tuple[Room, ...]:
    """List the stretches that have room for a shot's planned roll, in order of time."""
    day = fit.day
    call, hard_wrap = fit.minute_of(day.hours.crew_call), fit.minute_of(day.hours.hard_wrap)
    # On a day that has begun, nothing rolls before the crew is free.
    first_roll = day.hours.first_roll if day.past is None else day.past.free_at
    ways = [(fit.minute_of(first_roll), hard_wrap)]
    here = {member.name: member.here for member in day.cast}
    for name in shot.cast:
        if here.get(name):
            ways = _both(ways, _spans(fit, here[name]))
    if shot.hold:
        ways = _both(ways, _runs(fit.shots[shot.id].held))
    openings = _spans(fit, day.spot(shot.spot).open) or [(call, hard_wrap)]
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


def _spans(fit: DayFit, spans: Iterable[Span]) -> list[Minutes]:
    return sorted((fit.minute_of(span.start), fit.minute_of(span.end)) for span in spans)


def _runs(on: BoolArray) -> list[Minutes]:
    """Give the stretches in which a condition holds."""
    padded = np.concatenate(([False], on, [False]))
    edges = np.flatnonzero(padded[1:] != padded[:-1])
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))
