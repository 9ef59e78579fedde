"""The likely day: the one on which all work takes the minutes that half of it takes no longer than.

Its plan is what an order's times are told by. Company moves take the mean median of all shots.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from sunsched.average.model.rest import likely_min
from sunsched.average.order.decisions import EAT, STOP
from sunsched.average.order.forecast import Policy
from sunsched.average.order.policy import room_of
from sunsched.day.model import Day, Shot
from sunsched.day.past import made_ids
from sunsched.light.fit import DayFit, fit_again
from sunsched.plan.changeover import changeover
from sunsched.plan.plan import place_changeovers
from sunsched.plan.timetable import Timetable


def likely_day(day: Day) -> Day:
    """Give a day with its likely minutes as planned ones; what has been made keeps its own."""
    made = made_ids(day.past)
    medians = [day.overruns[shot.size].changeover_median for shot in day.shots]
    mean = sum(medians) / len(medians) if medians else 1.0
    return replace(
        day,
        shots=tuple(shot if shot.id in made else _likely_shot(day, shot) for shot in day.shots),
        moves=tuple(replace(one, minutes=likely_min(one.minutes, mean)) for one in day.moves),
        changeover=replace(
            day.changeover,
            move_min=likely_min(day.changeover.move_min, mean),
            turnaround_min=likely_min(day.changeover.turnaround_min, mean),
        ),
    )


def likely_timetable(policy: Policy) -> tuple[DayFit, Timetable]:
    """Follow an order through its likely day: the day's fit, and what rolls when.

    A shot that would be given up, or run out of its hours, is left out from the first.
    """
    fit = fit_again(policy.rest.fit, likely_day(policy.rest.fit.day))
    day, past, rest, odds = fit.day, fit.day.past, policy.rest, policy.odds
    made = () if past is None else past.made
    rolls = [(day.shot(one.shot_id), one.roll_start) for one in made]
    meal = meal_had = None if past is None else past.meal_start
    before = rolls[-1][0] if rolls else None
    a, i, m, t = len(rest.shots), 0, rest.fed, 0
    while (step := int(policy.decisions.step[m, i, t])) != STOP:
        if step == EAT:
            begin = max(t, odds.meal_first)
            meal, m, t = fit.time_of(rest.origin + begin), 2, begin + odds.meal_slots
            continue
        fed, place = min(m, 1), i + step - 1
        s = int(policy.order[place])
        shot = day.shot(rest.shots[s].id)
        o = int(policy.decisions.opening[fed, i, step - 1, t])
        work_min = changeover(day, before, shot).total_min
        # The judge lets no changeover go on after a meal, or after another shot.
        if a == len(rest.shots) and meal == meal_had:
            work_min -= _built_min(day, shot)
        ready = max(t, int(odds.begin_from[o, a, s])) + max(0, work_min)
        roll = int(policy.decisions.roll[fed, place, o, ready]) if ready < rest.slots else -1
        i = place + 1
        if roll < 0:
            continue
        end = roll + shot.shoot_min
        if end <= odds.room_last[room_of(odds, s, fed, o, roll)]:
            rolls.append((shot, fit.time_of(rest.origin + roll)))
            before, a, m, t = shot, s, fed, end
    placed = place_changeovers(day, rolls, meal)
    return replace(fit, day=_without_lost_pins(day, rolls)), Timetable(
        rolls=placed, meal_start=meal
    )


def _without_lost_pins(day: Day, rolls: list[tuple[Shot, datetime]]) -> Day:
    """Take away the pins that the likely day does not keep: the judge would refuse its plan."""
    starts = {shot.id: start for shot, start in rolls}
    return replace(
        day,
        shots=tuple(
            shot if shot.pin in (None, starts.get(shot.id)) else replace(shot, pin=None)
            for shot in day.shots
        ),
    )


def _built_min(day: Day, shot: Shot) -> int:
    """Give the minutes that are over of the changeover that goes on."""
    past = day.past
    if past is None or past.built_since is None or shot.id != past.building:
        return 0
    return round((past.free_at - past.built_since) / timedelta(minutes=1))


def _likely_shot(day: Day, shot: Shot) -> Shot:
    overrun = day.overruns[shot.size]
    return replace(
        shot,
        setup_min=likely_min(shot.setup_min, overrun.changeover_median),
        adjust_min=likely_min(shot.adjust_min, overrun.changeover_median),
        shoot_min=likely_min(shot.shoot_min, overrun.roll_median),
    )
