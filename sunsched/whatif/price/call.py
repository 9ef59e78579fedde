"""A day with its call moved."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.errors import DayImpossible
from sunsched.folder.settings.hours import first_meal
from sunsched.whatif.price.demand import CallAt, demand_text

LONGEST = timedelta(hours=24)  # from call to hard wrap


def check_call(day: Day, call: datetime) -> None:
    """Refuse a call that leaves no day, or one longer than a day can be.

    Raises
    ------
    DayImpossible
        With the calls that there can be.
    """
    hours, text = day.hours, demand_text(day, CallAt(time=call))
    if day.past is not None:
        was = clock(day, hours.crew_call)
        raise DayImpossible(f"{text}, and yet the crew was called at {was}")
    if not hours.hard_wrap - LONGEST <= call < hours.wrap:
        first, wrap = clock(day, hours.hard_wrap - LONGEST), clock(day, hours.wrap)
        raise DayImpossible(f"{text}; it can be from {first} to before the wrap at {wrap}")


def called_day(day: Day, call: datetime) -> Day:
    """Give a day with its call moved; what counts from the call moves with it.

    The first roll stays where the day has one of its own, and lunch where it is told a time.
    """
    hours, meal = day.hours, day.meal
    length = timedelta(minutes=meal.length_min)
    span = meal.latest - hours.crew_call
    has_own_roll = hours.first_roll != hours.crew_call
    usual = hours.crew_call + first_meal(hours.wrap - hours.crew_call, span, length)
    latest = call + span
    earliest = min(meal.earliest, latest)
    if meal.earliest == usual:
        earliest = call + first_meal(hours.wrap - call, span, length)
    return replace(
        day,
        hours=replace(
            hours,
            crew_call=call,
            first_roll=max(hours.first_roll, call) if has_own_roll else call,
        ),
        meal=replace(meal, earliest=earliest, latest=latest),
    )
