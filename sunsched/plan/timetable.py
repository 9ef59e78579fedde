"""An order with times: who rolls when, and where the meal stands. Nothing here judges it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sunsched.day.model import Day, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Roll:
    """One shot in a timetable: when its changeover starts and when the camera rolls (UTC)."""

    shot_id: str
    changeover_start: datetime
    roll_start: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Timetable:
    """The shots that are made, in shooting order, and the start of the meal if there is one."""

    rolls: tuple[Roll, ...]
    meal_start: datetime | None = None


def roll_end(day: Day, roll: Roll) -> datetime:
    """Give the moment when the camera stops on this shot."""
    return roll.roll_start + timedelta(minutes=day.shot(roll.shot_id).shoot_min)


def meal_end(day: Day, timetable: Timetable) -> datetime | None:
    """Give the end of the meal, or None when the day has none."""
    meal = meal_span(day, timetable)
    return None if meal is None else meal.end


def meal_span(day: Day, timetable: Timetable) -> Span | None:
    """Give the meal, or None when the day has none."""
    start = timetable.meal_start
    if start is None:
        return None
    return Span(start=start, end=start + timedelta(minutes=day.meal.length_min))


def second_meal_due(day: Day, timetable: Timetable, within: timedelta) -> datetime | None:
    """Give when a second meal is due, if the camera still rolls then (common practice).

    Parameters
    ----------
    within : from the end of the first meal on: as long as that may be after the call
    """
    over = meal_end(day, timetable)
    if over is None:
        return None
    due = over + within
    return due if any(roll_end(day, roll) > due for roll in timetable.rolls) else None


def meal_within(day: Day) -> timedelta:
    """Give how long after the call, or after the meal before, a meal starts at the latest."""
    if day.meal.within_min is not None:
        return timedelta(minutes=day.meal.within_min)
    return day.meal.latest - day.hours.crew_call


def meal_place(timetable: Timetable) -> int | None:
    """Give the number of shots before a timetable's meal, None for no meal."""
    if timetable.meal_start is None:
        return None
    return sum(roll.roll_start < timetable.meal_start for roll in timetable.rolls)
