"""The problem of a day under way: what has happened stands, and the rest is still to be decided.

Shots that have rolled stay in the problem, since matches, wide before tight and company moves look
back at them. Each has one slot, in their order before that of the crew call, with an offset to its
real minute; nothing can come between them, and all else comes after the last.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np

from sunsched.day.model import Day, Shot
from sunsched.day.past import Past
from sunsched.light.fit import DayFit, IntArray
from sunsched.plan.changeover import changeover
from sunsched.plan.score import (
    AVOIDED_SIZES,
    drift_costs,
    left_out_cost,
    wait_before_min,
)
from sunsched.plan.timetable import Roll, Timetable
from sunsched.solver.instance.problem import FORBIDDEN, Problem


def resumed(problem: Problem, fit: DayFit, past: Past) -> Problem:
    """Change the problem of a whole day into that of its rest.

    Parameters
    ----------
    problem : posed as if nothing had happened yet
    """
    day, n = fit.day, problem.shots
    place = {shot.id: index for index, shot in enumerate(day.shots)}
    made = np.array([place[one.shot_id] for one in past.made], dtype=np.int64)
    problem = _made_stand(problem, fit, past, made)
    before = int(made[-1]) if len(made) else n
    last_slot = max(0, len(made) - 1)
    free = fit.minute_of(past.free_at)
    zero = problem.origin + last_slot * problem.grid_min  # the minute that lags are counted from
    gain, lag, lag_fed = problem.gain.copy(), problem.lag.copy(), problem.lag_fed.copy()
    eat_by, arc_cost = problem.eat_by.copy(), _waits_stand(problem, fit, past, made)
    rows = np.append(made, n)
    lag[rows] = problem.slots
    lag[:, made] = problem.slots
    lag_fed[:, made] = problem.slots
    eat_by[rows] = -1
    for first, then in zip((n, *made.tolist()), made.tolist(), strict=False):
        lag[first, then] = int(first != n)
    if free <= fit.minute_of(day.meal.latest) and day.meal.earliest <= day.meal.latest:
        eat_by[before] = last_slot
    if past.meal_start is not None and _stands_last(day, past):
        arc_cost[before] -= day.costs.wait * day.meal.length_min
    minutes = problem.origin + np.arange(problem.slots) * problem.grid_min
    last = day.shots[before] if before < n else None
    for b, shot in enumerate(day.shots):
        if b in made:
            continue
        # In minutes that are lost nothing rolls, not even what stands built and waits.
        gain[:, b, minutes + problem.offset[b] < free] = FORBIDDEN
        late = zero + int(problem.offset[b])
        ready = _ready_minute(fit, past, last, shot)
        fed = free + day.meal.length_min + changeover(day, last, shot).total_min
        lag[before, b] = max(0, -((late - ready) // problem.grid_min))
        lag_fed[before, b] = max(0, -((late - fed) // problem.grid_min))
    problem = replace(
        problem, gain=gain, lag=lag, lag_fed=lag_fed, eat_by=eat_by, arc_cost=arc_cost
    )
    return problem if past.meal_start is None else _fed(problem, day, past, before)


def _made_stand(problem: Problem, fit: DayFit, past: Past, made: IntArray) -> Problem:
    """Give each shot that has rolled its slot, its points, and nothing that could forbid it."""
    day = fit.day
    gain, offset, must = problem.gain.copy(), problem.offset.copy(), problem.must.copy()
    end_cost, can_skip_meal = problem.end_cost.copy(), problem.can_skip_meal.copy()
    drift, forbidden = problem.drift.copy(), problem.forbidden_pair.copy()
    for slot, (s, one) in enumerate(zip(made.tolist(), past.made, strict=True)):
        shot, start = day.shots[s], fit.minute_of(one.roll_start)
        end = start + shot.shoot_min
        offset[s] = start - problem.origin - slot * problem.grid_min
        gain[:, s] = FORBIDDEN
        gain[:, s, slot] = int(fit.shots[shot.id].points[start]) + left_out_cost(day, shot)
        gain[:, s, slot] += day.costs.wait * shot.shoot_min
        end_cost[s, slot] = day.costs.overtime * max(0, end - fit.minute_of(day.hours.wrap))
        end_cost[s, slot] += day.costs.wait * (end - fit.minute_of(day.hours.crew_call))
        can_skip_meal[s, slot] = True  # a day that ends here needs no meal to come
        if shot.match:
            drift[s, slot] = drift_costs(fit, shot, np.array([start]))[0]
        must[s] = True
    forbidden[made] = False  # a made shot forbids no other any more
    coming = np.setdiff1d(np.arange(problem.shots), made)
    forbidden[np.ix_(coming, made)] = True
    return replace(
        problem,
        gain=gain,
        offset=offset,
        must=must,
        end_cost=end_cost,
        can_skip_meal=can_skip_meal,
        drift=drift,
        forbidden_pair=forbidden,
    )


def _stands_last(day: Day, past: Past) -> bool:
    """Say whether the meal that was had comes after all that was made."""
    done = past.made[-1].roll_end if past.made else day.hours.crew_call
    return past.meal_start is not None and done <= past.meal_start


def _waits_stand(problem: Problem, fit: DayFit, past: Past, made: IntArray) -> IntArray:
    """Give the costs of changeovers before which each of those behind the day waited as it did."""
    day, arc_cost = fit.day, problem.arc_cost.copy()
    stood = Timetable(
        rolls=tuple(
            Roll(
                shot_id=one.shot_id,
                changeover_start=one.changeover_start,
                roll_start=one.roll_start,
            )
            for one in past.made
        ),
        meal_start=past.meal_start,
    )
    before, done = problem.shots, day.hours.crew_call
    for place, (s, one) in enumerate(zip(made.tolist(), past.made, strict=True)):
        taken = (one.roll_start - done) // timedelta(minutes=1)
        arc_cost[before, s] -= day.costs.wait * (taken - wait_before_min(day, stood, place))
        before, done = s, one.roll_end
    return arc_cost


def _ready_minute(fit: DayFit, past: Past, before: Shot | None, shot: Shot) -> int:
    """Give the track minute from which a shot can roll if it is the next one."""
    begun = max(past.free_at, fit.day.hours.crew_call)
    if shot.id == past.building and past.built_since is not None:
        begun = past.built_since
    return fit.minute_of(begun) + changeover(fit.day, before, shot).total_min


def _fed(problem: Problem, day: Day, past: Past, before: int) -> Problem:
    """Leave no room for a second meal, and charge what the shot after the first one costs."""
    arc_cost, base = problem.arc_cost.copy(), problem.base
    over = (past.meal_start or past.at) + timedelta(minutes=day.meal.length_min)
    after = [one for one in past.made if one.changeover_start >= over]
    if not after:
        arc_cost[before] += problem.after_meal_cost + day.costs.wait * day.meal.length_min
    elif day.shot(after[0].shot_id).size in AVOIDED_SIZES:
        base -= day.costs.after_meal
    return replace(
        problem,
        arc_cost=arc_cost,
        base=base,
        can_skip_meal=np.ones_like(problem.can_skip_meal),
        eat_by=np.full_like(problem.eat_by, -1),
    )
