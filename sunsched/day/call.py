"""A day with its call moved, and when lunch may begin after a call."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from sunsched.day.model import Day

LONGEST = timedelta(hours=24)  # from call to hard wrap
# Where nobody says when lunch may begin at the earliest: so long after the call, but always so long
# before its latest start. Common practice, no source.
MEAL_FROM_CALL = timedelta(hours=3)
MEAL_ROOM = timedelta(hours=1)


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


def first_meal(work: timedelta, span: timedelta, length: timedelta) -> timedelta:
    """Give how long after the call lunch may begin at the earliest, where no key says it.

    Parameters
    ----------
    work : timedelta
        From the call to wrap.
    span : timedelta
        From the call to the latest start of lunch; from the end of lunch a second meal is due
        after the same time, so lunch waits until that is no sooner than wrap.
    length : timedelta
        The length of lunch.
    """
    late_enough = max(MEAL_FROM_CALL, work - span - length)
    return max(timedelta(0), min(late_enough, span - MEAL_ROOM))
