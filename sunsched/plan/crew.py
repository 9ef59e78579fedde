"""What an assistant director counts in a timetable: wrap, overtime, moves, waits, the cast."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from sunsched.day.model import Day
from sunsched.plan.changeover import changeover
from sunsched.plan.timetable import Roll, Timetable, meal_end, roll_end


@dataclass(frozen=True, slots=True, kw_only=True)
class CastHours:
    """One cast member's day on set: from the first roll they are in to the end of the last.

    Make-up and rehearsal come before `first_call` and are not known here. `waiting_min` is the part
    of this time that is neither one of their rolls nor the meal.
    """

    name: str
    first_call: datetime
    last_release: datetime
    waiting_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """A timetable in the crew's terms; `wrap` is the end of the last roll, None without any.

    From the call to the wrap the crew builds, rolls, eats, stands ready and waits for the light
    (`waiting_min`), or has nothing to build yet (`idle_min`); a day pays for both alike.
    """

    wrap: datetime | None
    overtime_min: int
    moves: int
    rig_changes: int
    waiting_min: int
    idle_min: int
    meal_start: datetime | None
    cast: tuple[CastHours, ...]

    @property
    def cast_wait_min(self) -> int:
        """Minutes that all cast members together wait on set."""
        return sum(member.waiting_min for member in self.cast)


def crew_figures(day: Day, timetable: Timetable) -> Crew:
    """Count what the crew and the cast see of a timetable, whether or not it obeys the rules."""
    rolls = timetable.rolls
    shots = [day.shot(roll.shot_id) for roll in rolls]
    wrap = max((roll_end(day, roll) for roll in rolls), default=None)
    ready = [
        roll.changeover_start + timedelta(minutes=changeover(day, before, shot).total_min)
        for roll, before, shot in zip(rolls, [None, *shots], shots, strict=False)
    ]
    waits = [roll.roll_start - built for roll, built in zip(rolls, ready, strict=True)]
    return Crew(
        wrap=wrap,
        overtime_min=0 if wrap is None else max(0, _minutes(wrap - day.hours.wrap)),
        moves=sum(a.spot != b.spot for a, b in pairwise(shots)),
        rig_changes=sum(a.rig != b.rig for a, b in pairwise(shots)),
        waiting_min=sum(max(0, _minutes(wait)) for wait in waits),
        idle_min=sum(max(0, _minutes(gap)) for gap in _gaps(day, timetable)),
        meal_start=timetable.meal_start,
        cast=tuple(
            _cast_hours(day, timetable, member.name, own)
            for member in day.cast
            if (own := [roll for roll in rolls if member.name in day.shot(roll.shot_id).cast])
        ),
    )


def _gaps(day: Day, timetable: Timetable) -> list[timedelta]:
    """List the times from the call or a roll's end to a changeover, less the meal in them."""
    gaps, free_at = [], day.hours.crew_call
    for roll in timetable.rolls:
        end = roll.changeover_start
        gaps.append(end - free_at - _eaten(day, timetable, free_at, end))
        free_at = roll_end(day, roll)
    return gaps


def _cast_hours(day: Day, timetable: Timetable, name: str, own: list[Roll]) -> CastHours:
    first = min(roll.roll_start for roll in own)
    last = max(roll_end(day, roll) for roll in own)
    rolling = sum((roll_end(day, roll) - roll.roll_start for roll in own), timedelta(0))
    waiting = last - first - rolling - _eaten(day, timetable, first, last)
    return CastHours(
        name=name,
        first_call=first,
        last_release=last,
        waiting_min=max(0, _minutes(waiting)),
    )


def _eaten(day: Day, timetable: Timetable, start: datetime, end: datetime) -> timedelta:
    """Give the time of the meal that lies between two moments."""
    meal_start, meal_over = timetable.meal_start, meal_end(day, timetable)
    if meal_start is None or meal_over is None:
        return timedelta(0)
    return max(timedelta(0), min(end, meal_over) - max(start, meal_start))


def _minutes(span: timedelta) -> int:
    return round(span / timedelta(minutes=1))
