"""An order put on the clock as well as it can be, whether or not the rules let it be made so.

First within the rules. Where no times of an order obey them, every start is open at a price far
above any light, so that the fewest shots break a rule and the rest of the day is still well timed.
Where even that fails, because given times leave no room, the shots without a time roll as soon as
they can.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

import numpy as np

from sunsched.day.model import Day, Shot
from sunsched.light.fit import DayFit, IntArray
from sunsched.plan.changeover import changeover
from sunsched.plan.plan import Plan, meal_before, place_changeovers
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable, meal_place
from sunsched.solver.build import make_problem
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import LOST
from sunsched.whatif.orders.best_times import (
    Case,
    Ground,
    Times,
    best_timing,
    breach_points,
    make_case,
    make_ground,
    value_of,
)
from sunsched.whatif.orders.order import Order
from sunsched.whatif.orders.relaxed_problem import relaxed_problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """A day on which orders without times are put on the clock, one after the other.

    `known` is a plan whose times are kept for its own order where no others are worth more.
    """

    fit: DayFit
    grid_min: int
    known: Plan | None = None
    grounds: dict[bool, Ground] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Clocked:
    """An order with its timetable.

    `obeys` says that its times were found within the rules (its pairs may break one), `is_exact`
    that no others are better; both are False where given times leave no room. `value` is the scaled
    worth of its times on their ground, LOST where the ground was changed for them or has none.
    """

    order: Order
    timetable: Timetable
    obeys: bool
    is_exact: bool
    value: int


def put_on_clock(desk: Desk, order: Order) -> Clocked:
    """Time an order: exactly as well as it can be, keeping what times it has."""
    if not order.ids:  # as of a revision whose shots are all cut
        nothing = Timetable(rolls=(), meal_start=order.meal_start)
        return Clocked(order=order, timetable=nothing, obeys=True, is_exact=True, value=LOST)
    for lenient in (False, True):
        ground = ground_for(desk, order, lenient=lenient)
        times = best_timing(case_of(ground, order), _known_times(desk, ground, order))
        value = LOST if times is None else times.value
        if times is None and lenient and order.meal_start is None:
            times = _with_late_meal(desk.fit, ground, order)
        if times is not None:
            return Clocked(
                order=order,
                timetable=timetable_of(desk.fit, ground.problem, order, times),
                obeys=not lenient,
                is_exact=True,
                value=value,
            )
    timetable = _as_soon_as(desk, order)
    return Clocked(order=order, timetable=timetable, obeys=False, is_exact=False, value=LOST)


def ground_for(desk: Desk, order: Order, *, lenient: bool) -> Ground:
    """Give what an order is timed on; the tables of orders without times are made once."""
    if not order.has_times and lenient in desk.grounds:
        return desk.grounds[lenient]
    fit = desk.fit
    day = _with_times(fit.day, order)
    if lenient:
        problem, breach_cost = relaxed_problem(fit, day, order, desk.grid_min)
    else:
        problem = make_problem(replace(fit, day=day), desk.grid_min)
        breach_cost = breach_points(problem)
    ground = make_ground(problem, breach_cost)
    if not order.has_times:
        desk.grounds[lenient] = ground
    return ground


def sequence_of(problem: Problem, order: Order) -> IntArray:
    """Give an order's shots by their index in the problem."""
    index = {shot_id: shot for shot, shot_id in enumerate(problem.ids)}
    return np.array([index[shot_id] for shot_id in order.ids], dtype=np.int64)


def case_of(ground: Ground, order: Order) -> Case:
    """Make ready to time an order on a ground."""
    return make_case(ground, sequence_of(ground.problem, order), order.meal_after)


def timetable_of(fit: DayFit, problem: Problem, order: Order, times: Times) -> Timetable:
    """Put slots back on the clock."""
    day = fit.day
    rolls = [
        (day.shots[shot], fit.time_of(problem.start_minute(shot, slot)))
        for shot, slot in zip(times.sequence.tolist(), times.starts.tolist(), strict=True)
    ]
    meal_start = None
    if times.meal >= 0:
        meal_start = meal_before(_with_times(day, order), rolls, times.meal)
    elif order.meal_after is not None:
        meal_start = order.meal_start or max(day.meal.earliest, _end(rolls[-1]))
    return _placed(day, rolls, meal_start)


def _with_late_meal(fit: DayFit, ground: Ground, order: Order) -> Times | None:
    """Find the best times with a meal that is as little too late as it can be."""
    tables, problem = ground.tables, ground.problem
    if order.meal_after == len(order.ids):
        late = [tables._replace(can_skip_meal=np.ones_like(tables.can_skip_meal))]
    else:
        call, latest = (fit.minute_of(w) for w in (fit.day.hours.crew_call, fit.day.meal.latest))
        free = np.append(problem.offset + problem.roll_min, call - problem.origin)
        minutes = range(latest - problem.origin + 1, problem.slots * problem.grid_min)
        late = [tables._replace(eat_by=(minute - free) // problem.grid_min) for minute in minutes]
    for changed in late:
        times = best_timing(case_of(replace(ground, tables=changed), order))
        if times is not None:
            return times
    return None


def _known_times(desk: Desk, ground: Ground, order: Order) -> Times | None:
    """Give the known plan's times for its own order."""
    plan, problem = desk.known, ground.problem
    if plan is None or plan.grid_min != desk.grid_min or order.has_times:
        return None
    if tuple(one.shot.id for one in plan.shots) != order.ids:
        return None
    meal = meal_place(plan.timetable)
    if order.meal_after is not None and order.meal_after != meal:
        return None
    sequence = sequence_of(problem, order)
    minutes = np.array([desk.fit.minute_of(one.roll_start) for one in plan.shots], dtype=np.int64)
    starts = (minutes - problem.origin - problem.offset[sequence]) // problem.grid_min
    meal = -1 if meal is None or meal == len(sequence) else meal
    value = value_of(case_of(ground, order), starts, meal)
    return Times(sequence=sequence, starts=starts, meal=meal, value=value)


def _with_times(day: Day, order: Order) -> Day:
    """Give the day that pins what has a time in an order."""
    times = dict(zip(order.ids, order.times, strict=True))
    shots = tuple(replace(shot, pin=times.get(shot.id) or shot.pin) for shot in day.shots)
    meal = day.meal
    if order.meal_start is not None:
        meal = replace(meal, earliest=order.meal_start, latest=order.meal_start)
    return replace(day, shots=shots, meal=meal)


def _as_soon_as(desk: Desk, order: Order) -> Timetable:
    """Keep an order's times, and let all else roll as soon as it can, on the grid."""
    fit, day = desk.fit, desk.fit.day
    free, meal_start = day.hours.crew_call, None
    rolls: list[tuple[Shot, datetime]] = []
    for place, (shot_id, when) in enumerate(zip(order.ids, order.times, strict=True)):
        shot = day.shot(shot_id)
        parts = changeover(day, rolls[-1][0] if rolls else None, shot)
        need = timedelta(minutes=parts.total_min)
        end = (when or free + need) + timedelta(minutes=shot.shoot_min)
        is_due = order.meal_after is None and end > day.meal.latest
        if meal_start is None and not order.is_timed and (is_due or order.meal_after == place):
            meal_start = order.meal_start or max(free, day.meal.earliest)
            free = meal_start + timedelta(minutes=day.meal.length_min)
        soon = max(free + need, day.hours.first_roll)
        late = -fit.minute_of(soon) % desk.grid_min
        rolls.append((shot, when or max(soon + timedelta(minutes=late), shot.pin or soon)))
        free = _end(rolls[-1])
    if order.meal_start is not None:
        return _placed(day, rolls, order.meal_start)
    if meal_start is None:
        meal_start = _best_gap(fit, rolls, order.meal_after)
    return _placed(day, rolls, meal_start)


def _best_gap(
    fit: DayFit, rolls: list[tuple[Shot, datetime]], meal_after: int | None
) -> datetime | None:
    """Give the meal that breaks the fewest rules between rolls whose times are all given."""
    day = fit.day
    starts: list[datetime | None] = [None] if meal_after is None else []
    for place in range(len(rolls) + 1) if meal_after is None else (meal_after,):
        free = _end(rolls[place - 1]) if place else day.hours.crew_call
        starts.append(max(free, day.meal.earliest))

    def worth(start: datetime | None) -> tuple[int, int]:
        timetable = _placed(day, rolls, start)
        return -len(breaches(fit, timetable)), score(fit, timetable).total

    return max(starts, key=worth)


def _placed(day: Day, rolls: list[tuple[Shot, datetime]], meal_start: datetime | None) -> Timetable:
    """Add the changeovers; one that has no room starts with its roll at the latest."""
    placed = place_changeovers(day, rolls, meal_start)
    return Timetable(
        rolls=tuple(
            replace(roll, changeover_start=min(roll.changeover_start, roll.roll_start))
            for roll in placed
        ),
        meal_start=meal_start,
    )


def _end(roll: tuple[Shot, datetime]) -> datetime:
    return roll[1] + timedelta(minutes=roll[0].shoot_min)
