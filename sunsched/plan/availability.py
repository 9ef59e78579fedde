"""When a shot may roll: the one place where the hours of a day become minutes of its track.

`needs` lists all that says so, each with its stretches. The solver, the searches and the reasons
read them here. Only the judge (`rules`) says each rule again in its own words, so that it can find
a fault made here. Of a day under way they do not know what has happened; only `begins` looks at
that.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from sunsched.day.model import Day, Shot, Span
from sunsched.light.fit import BoolArray, DayFit, IntArray
from sunsched.light.stretches import Minutes, runs, within


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """Something that a shot needs to roll: the roll lies whole in one of its stretches.

    Attributes
    ----------
    rule : the name of the judge's rule
    stretches : minutes of the track in which it is there
    is_for_build : whether the build at the spot lies in the stretch too
    name : what a shot that is built too soon waits for, in words; "" where no text needs it
    lack : the text for a shot that is left out because of this alone; "" where there is none
    until : the text for a last start that the end of a stretch limits; "" where there is none
    """

    rule: str
    stretches: tuple[Minutes, ...]
    is_for_build: bool = False
    name: str = ""
    lack: str = ""
    until: str = ""


def needs(fit: DayFit, shot: Shot) -> Iterator[Need]:
    """Yield all that a shot needs to roll, those that people are told of by name first."""
    day = fit.day
    for member in day.cast:
        if member.name in shot.cast and member.here:
            yield Need(
                rule="cast here",
                stretches=_stretches(fit, member.here),
                name=member.name,
                lack=f"{member.name} is not here",
                until=f"for which {member.name} is here",
            )
    spot = day.spot(shot.spot)
    if spot.open:
        yield Need(
            rule="spot open",
            stretches=_stretches(fit, spot.open),
            is_for_build=True,
            name=spot.name,
            lack=f"{spot.name} is not open",
            until="whose spot is open",
        )
    if shot.hold:
        held = runs(fit.shots[shot.id].held)
        yield Need(rule="hold", stretches=held, name=f"the sun that {shot.id} is held for")
    hours = Span(start=day.hours.first_roll, end=day.hours.hard_wrap)
    yield Need(rule="hours", stretches=_stretches(fit, (hours,)))
    if shot.pin is not None:
        minute = fit.minute_of(shot.pin)
        yield Need(rule="pin", stretches=((minute, minute + shot.shoot_min),))


def may_roll_at(shot: Shot, needed: Iterable[Need], build_min: int, starts: IntArray) -> BoolArray:
    """Mark the starts, in minutes of the track, at which a shot has all of what it needs.

    Parameters
    ----------
    needed : what is looked at
    build_min : how long its build at the spot takes
    """
    marked, ends = np.ones(starts.shape, dtype=np.bool_), starts + shot.shoot_min
    for need in needed:
        marked &= within(need.stretches, starts - build_min * need.is_for_build, ends)
    return marked


def can_roll_at(fit: DayFit, shot: Shot, needed: Iterable[Need]) -> BoolArray:
    """Mark the minutes of the track from which a shot can roll, whatever is made before it.

    Parameters
    ----------
    needed : what is looked at of what it needs
    """
    starts = np.arange(len(fit.track))
    marked = may_roll_at(shot, needed, _least_build_min(fit.day, shot), starts)
    return marked & (starts >= begins(fit, shot))


def begins(fit: DayFit, shot: Shot) -> int:
    """Give the first minute at which a shot can roll whatever is made before it."""
    day, past = fit.day, fit.day.past
    begun, first = day.hours.crew_call, day.hours.first_roll
    if past is not None:
        begun, first = past.free_at, max(first, past.free_at)
        if shot.id == past.building and past.built_since is not None:
            begun = past.built_since
    return max(fit.minute_of(first), fit.minute_of(begun) + _least_build_min(day, shot))


def _least_build_min(day: Day, shot: Shot) -> int:
    """Give the fewest minutes that a shot's build may take, whatever is made before it."""
    others = (one for one in day.shots if one.id != shot.id)
    like = any(one.spot == shot.spot and one.rig == shot.rig for one in others)
    return min(shot.setup_min, shot.adjust_min) if like else shot.setup_min


def _stretches(fit: DayFit, spans: Iterable[Span]) -> tuple[Minutes, ...]:
    return tuple((fit.minute_of(span.start), fit.minute_of(span.end)) for span in spans)
