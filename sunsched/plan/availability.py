"""From when and when a shot may roll at all: the hours of the day, its cast and spot, its hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sunsched.day.model import Day, Shot
from sunsched.light.fit import BoolArray, DayFit, held_throughout, within


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """Who or what a roll needs that is not always there.

    `lack` says in words that it is not, `there` marks the minutes from which a roll can start.
    """

    name: str
    lack: str
    there: BoolArray


def can_roll_at(fit: DayFit, shot: Shot) -> BoolArray:
    """Mark the minutes from which a shot may roll, whatever is made before it."""
    starts = np.arange(len(fit.track))
    last = fit.minute_of(fit.day.hours.hard_wrap) - shot.shoot_min
    marked: BoolArray = (starts >= begins(fit, shot)) & (starts <= last)
    for needed in needs(fit, shot):
        marked &= needed.there
    if shot.hold:
        marked &= held_throughout(fit, shot, starts)
    return marked


def needs(fit: DayFit, shot: Shot) -> Iterator[Needed]:
    """Yield the cast of a shot and its spot, where they have hours."""
    starts = np.arange(len(fit.track))
    ends = starts + shot.shoot_min
    for member in fit.day.cast:
        if member.name in shot.cast and member.here:
            there = within(fit, member.here, starts, ends)
            yield Needed(name=member.name, lack=f"{member.name} is not here", there=there)
    spot = fit.day.spot(shot.spot)
    if spot.open:
        there = within(fit, spot.open, starts - _least_build(fit.day, shot), ends)
        yield Needed(name=spot.name, lack=f"{spot.name} is not open", there=there)


def begins(fit: DayFit, shot: Shot) -> int:
    """Give the first minute at which a shot can roll whatever is made before it."""
    day, past = fit.day, fit.day.past
    begun, first = day.hours.crew_call, day.hours.first_roll
    if past is not None:
        begun, first = past.free_at, max(first, past.free_at)
        if shot.id == past.building and past.built_since is not None:
            begun = past.built_since
    return max(fit.minute_of(first), fit.minute_of(begun) + _least_build(day, shot))


def _least_build(day: Day, shot: Shot) -> int:
    """Give the fewest minutes that a shot's build may take, whatever is made before it."""
    others = (one for one in day.shots if one.id != shot.id)
    like = any(one.spot == shot.spot and one.rig == shot.rig for one in others)
    return min(shot.setup_min, shot.adjust_min) if like else shot.setup_min
