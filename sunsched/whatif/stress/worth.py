"""What drawn days are worth, in points: the judge's own costs, counted for many days at once."""

from __future__ import annotations

from collections import Counter

import numpy as np
import numpy.typing as npt

from sunsched.light.fit import BoolArray, DayFit, IntArray
from sunsched.plan.score import AVOIDED_SIZES, drift_costs_at, left_out_cost
from sunsched.sky.track import FloatArray
from sunsched.whatif.stress.simulation import Course, Drawn


def light_points(course: Course, drawn: Drawn) -> IntArray:
    """Give the points that each shot earns on each day, before any cost: (shots, days)."""
    weights = np.array([[step.shot.weight] for step in course.steps])
    points: IntArray = np.floor(1000.0 * weights * drawn.fit + 0.5).astype(np.int64)
    return points


def day_points(course: Course, drawn: Drawn) -> IntArray:
    """Give what each day is worth in all, as the judge counts: (days,)."""
    day, made = course.fit.day, drawn.made
    shots = [step.shot for step in course.steps]
    points: IntArray = light_points(course, drawn).sum(axis=0)
    for place, shot in enumerate(shots):
        points -= np.where(made[place], 0, left_out_cost(day, shot))
        for later in range(place + 1, len(shots)):
            other = shots[later]
            if shot.match and shot.match == other.match and shot.size.rank > other.size.rank:
                points -= day.costs.wide_to_tight * (made[place] & made[later])
    listed = {shot.id for shot in shots}
    points -= sum(left_out_cost(day, shot) for shot in day.shots if shot.id not in listed)
    points -= _match_costs(course, drawn)
    points -= _overtime_costs(course.fit, drawn.end)
    points -= _waiting_costs(course.fit, drawn)
    points -= _order_costs(course, drawn, made)
    return points


def last_end(drawn: Drawn) -> FloatArray:
    """Give the end of each day's last roll, nan for a day without any: (days,)."""
    ends: FloatArray = np.where(drawn.made, drawn.end, -np.inf).max(axis=0)
    return np.where(np.isneginf(ends), np.nan, ends)


def _overtime_costs(fit: DayFit, ends: FloatArray) -> IntArray:
    wrap = fit.minute_of(fit.day.hours.wrap)
    past = np.where(np.isnan(ends), 0.0, ends - wrap).max(axis=0)
    costs: IntArray = fit.day.costs.overtime * np.maximum(0, np.rint(past)).astype(np.int64)
    return costs


def _waiting_costs(fit: DayFit, drawn: Drawn) -> IntArray:
    """Give what waiting costs on each day, up to its last roll."""
    waited = np.where(drawn.made, drawn.waited, 0.0).max(axis=0, initial=0.0)
    costs: IntArray = np.rint(fit.day.costs.wait * waited).astype(np.int64)
    return costs


def _order_costs(course: Course, drawn: Drawn, made: BoolArray) -> IntArray:
    """Give what moves, rig changes and the first shot after the meal cost on each day."""
    day, days = course.fit.day, made.shape[1]
    none = len(day.shots)
    arc = np.array(
        [
            [
                day.costs.move * (a.spot != b.spot) + day.costs.rig_change * (a.rig != b.rig)
                for b in day.shots
            ]
            for a in day.shots
        ]
        + [[0] * none]
    )
    costs = np.zeros(days, dtype=np.int64)
    before, back = np.full(days, none), np.zeros(days, dtype=np.bool_)
    for place, step in enumerate(course.steps):
        costs += np.where(made[place], arc[before, step.index], 0)
        before = np.where(made[place], step.index, before)
        first = made[place] & ~back & (drawn.meal <= drawn.start[place])
        if step.shot.size in AVOIDED_SIZES:
            costs += day.costs.after_meal * first
        back |= first
    return costs


def _match_costs(course: Course, drawn: Drawn) -> IntArray:
    """Give what all matches cost on each day, each at the best common sun of that day."""
    fit = course.fit
    listed = Counter(shot.match for shot in fit.day.shots)
    costs = np.zeros(drawn.made.shape[1], dtype=np.int64)
    for name in sorted(name for name, count in listed.items() if name and count > 1):
        total: npt.NDArray[np.int32] | None = None
        for place, step in enumerate(course.steps):
            made = drawn.made[place]
            if step.shot.match != name or not made.any():
                continue
            # In half minutes, as the judge looks at the middle of a roll.
            middle = drawn.start[place] + drawn.end[place]
            first, last = int(np.nanmin(middle)), int(np.nanmax(middle))
            # The last row of the table is for a shot that is not made.
            table = drift_costs_at(fit, step.shot, np.arange(first, last + 1)).astype(np.int32)
            table = np.pad(table, ((0, 1), (0, 0)))
            drift = table[np.where(made, middle, last + 1).astype(np.int64) - first]
            total = drift if total is None else total + drift
        if total is not None:
            costs += total.min(axis=1)
    return costs
