"""Which end of the day one more shot in its order would run past."""

from __future__ import annotations

from datetime import datetime, timedelta

from sunsched.day.clock import clock
from sunsched.day.model import Shot
from sunsched.day.past import made_ids
from sunsched.light.fit import DayFit
from sunsched.plan.changeover import changeover
from sunsched.plan.timetable import Timetable, meal_end, roll_end


def runs_past(fit: DayFit, timetable: Timetable, shot: Shot, grid_min: int) -> str:
    """Say which end the day would run past with one more shot, at the best place in its order.

    "" where there is a place for it: then it is not time that the shot lacks. An end that the day
    runs past even without the shot is not named.
    """
    rolls, hours, meal = timetable.rolls, fit.day.hours, fit.day.meal
    if not rolls:
        return ""
    first = sum(roll.shot_id in made_ids(fit.day.past) for roll in rolls)
    behind = fit.day.past
    if behind is not None and behind.building is not None:
        first += 1  # what is being built is made before anything else
    places = range(min(first, len(rolls)), len(rolls) + 1)
    end = min(_end_with(fit, timetable, shot, place, grid_min) for place in places)
    without = roll_end(fit.day, rolls[-1])
    ends = [(hours.wrap, "the wrap at {}"), (hours.hard_wrap, "the hard wrap at {}")]
    if timetable.meal_start is None and meal.latest < hours.hard_wrap:
        ends.insert(0, (meal.latest, "{}, when lunch falls due"))
    for limit, text in ends:
        if without <= limit < end:
            return text.format(clock(fit.day, limit))
    return ""


def _end_with(fit: DayFit, timetable: Timetable, shot: Shot, place: int, grid_min: int) -> datetime:
    """Give the soonest end of the last roll if a shot is put before the roll at a place.

    The rolls before it stay, those after it are put off only as far as they must be. The hours of
    cast and spots are not looked at, so that the end may be too soon and is never too late.
    """
    day, behind = fit.day, fit.day.past
    kept = timetable.rolls[:place]
    before = day.shot(kept[-1].shot_id) if kept else None
    free = roll_end(day, kept[-1]) if kept else day.hours.crew_call
    if behind is not None:
        free = max(free, behind.free_at)
    meal, over = timetable.meal_start, meal_end(day, timetable)
    planned = [(day.shot(roll.shot_id), roll.roll_start) for roll in timetable.rolls[place:]]
    if meal is not None and meal < free:
        meal = None  # it is over by then
    for one, soonest in ((shot, day.hours.first_roll), *planned):
        # Lunch stays before the roll that it stands before, and is put off like the rolls.
        if meal is not None and over is not None and one.id != shot.id and meal < soonest:
            free, meal = max(over, free + (over - meal)), None
        ready = max(soonest, free + timedelta(minutes=changeover(day, before, one).total_min))
        start = fit.minute_of(ready)
        if one.id == shot.id or ready > soonest:  # a pinned minute need not be on the grid
            start += -start % grid_min
        free, before = fit.time_of(start) + timedelta(minutes=one.shoot_min), one
    return free
