"""The problem of a day whose rules may be broken: each start costs the rules that it breaks."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from sunsched.day.model import Day
from sunsched.light.fit import BoolArray, DayFit, IntArray, fit_checked
from sunsched.plan.availability import Need, needs
from sunsched.plan.changeover import move_min
from sunsched.plan.score import left_out_cost, reference_minutes
from sunsched.solver.build import make_problem, starts_allowed
from sunsched.solver.instance.problem import FORBIDDEN, Problem
from sunsched.whatif.orders.best_times import breach_points
from sunsched.whatif.orders.order import Order

LATE_POINTS = 100  # each minute past the hard wrap, beside the rule that it breaks


def relaxed_problem(fit: DayFit, day: Day, order: Order, grid_min: int) -> tuple[Problem, int]:
    """Give the problem in which each start costs what rules it breaks, and the day ends late.

    The second figure is what each rule costs.
    """
    hours = replace(day.hours, hard_wrap=max(day.hours.hard_wrap, _last_end(day)))
    wide = fit_checked(replace(day, hours=hours))
    problem = make_problem(wide, grid_min)
    starts = problem.origin + np.arange(problem.slots) * grid_min + problem.offset[:, None]
    ends = starts + problem.roll_min[:, None]
    late = np.maximum(0, ends - fit.minute_of(day.hours.hard_wrap))
    shut, broken = _broken_rules(wide, problem, starts)
    given = dict(zip(order.ids, order.times, strict=True))
    worth = np.empty_like(problem.gain)
    count = broken + (late > 0)
    for s, shot in enumerate(day.shots):
        inside = (starts[s] >= 0) & (ends[s] <= len(wide.track))
        earned = wide.shots[shot.id].points[np.where(inside, starts[s], 0)]
        when = given.get(shot.id)
        if when is not None:
            inside &= starts[s] == fit.minute_of(when)
            count[:, s] += shut[s]
        else:
            inside &= ~shut[s]
            count[:, s] += False if shot.pin is None else starts[s] != fit.minute_of(shot.pin)
        worth[:, s] = np.where(
            inside, earned + left_out_cost(day, shot) - LATE_POINTS * late[s], FORBIDDEN
        )
    drift = np.ascontiguousarray(problem.drift[:, :, : len(reference_minutes(fit))])
    unruled = replace(problem, gain=worth, drift=drift)
    breach_cost = breach_points(unruled)
    gain = np.where(worth > FORBIDDEN, worth - breach_cost * count, FORBIDDEN)
    return replace(unruled, gain=gain), breach_cost


def _broken_rules(wide: DayFit, problem: Problem, starts: IntArray) -> tuple[BoolArray, IntArray]:
    """Say which starts lie outside the hours, (n, T), and count the rules that others break.

    Counted is what else a roll needs, but for its pin: (K, n, T). What was made breaks nothing.
    """
    day, behind = wide.day, wide.day.past
    shut = np.zeros(starts.shape, dtype=np.bool_)
    broken = np.zeros(problem.gain.shape, dtype=np.int64)
    for s, shot in enumerate(day.shots):
        asked: dict[str, list[Need]] = {}
        for need in needs(wide, shot):
            asked.setdefault(need.rule, []).append(need)
        for rule, needed in asked.items():
            breaks = ~starts_allowed(wide, shot, needed, starts[s], len(broken))
            if rule == "hours":
                shut[s] = breaks[0]
            elif rule != "pin":
                broken[:, s] += breaks
    place = {shot.id: s for s, shot in enumerate(day.shots)}
    for shot_id in day.cut_ids:
        broken[:, place[shot_id]] += 1
    if behind is not None:
        shut |= starts < wide.minute_of(behind.free_at)
        for shot_id in behind.cut:
            shut[place[shot_id]] = True
        for one in behind.made:
            s = place[one.shot_id]
            shut[s] = starts[s] != wide.minute_of(one.roll_start)
            broken[:, s] = 0
    return shut, broken * ~shut


def _last_end(day: Day) -> datetime:
    """Give a moment by which any order can be through, made without waits for light."""
    longest = max((move_min(day, a.name, b.name) for a in day.spots for b in day.spots), default=0)
    work = sum(
        shot.shoot_min + max(shot.setup_min + longest, shot.adjust_min) for shot in day.shots
    )
    work += len(day.shots) * day.changeover.turnaround_min + day.meal.length_min
    return max(day.hours.first_roll, day.meal.earliest) + timedelta(minutes=work)
