"""Drawn days of one order: what happens on each of them if the crew follows its policy.

The days are those that the programme counts with, so that the mean of many of them is its worth.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sunsched.average.model.drift import made_drift
from sunsched.average.model.minutes import FURTHEST_SPREADS, whole_minutes
from sunsched.average.order.decisions import EAT, STOP
from sunsched.average.order.forecast import Followed
from sunsched.average.order.policy import order_cost
from sunsched.day.model import Day
from sunsched.light.fit import BoolArray, IntArray
from sunsched.plan.score import left_out_cost
from sunsched.sky.track import FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What happens on the drawn days, in minutes of the track; nan is never.

    Attributes
    ----------
    start, end : (n, days) of each roll that is made, in the order of the policy
    light : (n, days) share of the shot's light, 0 where it is not made
    meal : (days,) start of the meal that was still to come
    stop : (days,) the end of all work
    points : (days,) as the programme counts
    """

    start: FloatArray
    end: FloatArray
    light: FloatArray
    meal: FloatArray
    stop: FloatArray
    points: FloatArray

    @property
    def made(self) -> BoolArray:
        """Whether each shot is made: (n, days)."""
        found: BoolArray = ~np.isnan(self.start)
        return found


def draw_factors(day: Day, days: int, seed: int) -> FloatArray:
    """Draw what each shot's planned changeover and roll are multiplied by: (shots, 2, days).

    A factor that all work of a day has in common, if the day has one, is drawn after the others. No
    policy knows of it.
    """
    random = np.random.default_rng(seed)
    draws = random.standard_normal((len(day.shots), 2, days))
    draws = np.clip(draws, -FURTHEST_SPREADS, FURTHEST_SPREADS)
    figures = [day.overruns[shot.size] for shot in day.shots]
    medians = np.array([[one.changeover_median, one.roll_median] for one in figures])
    spreads = np.array([[one.changeover_spread, one.roll_spread] for one in figures])
    slow = np.exp(day.day_spread * random.standard_normal(days))
    factors: FloatArray = medians[:, :, None] * np.exp(spreads[:, :, None] * draws) * slow
    return factors


def draw_days(policy: Followed, factors: FloatArray) -> Drawn:
    """Follow a policy through days with these factors, as `draw_factors` gives them.

    Parameters
    ----------
    policy : to the minute, so that its slots are minutes
    """
    rest, n, days = policy.rest, len(policy.order), factors.shape[2]
    index = {shot.id: place for place, shot in enumerate(rest.fit.day.shots)}
    own = np.array([index[shot.id] for shot in policy.shots], dtype=np.int64)
    now = _Now(
        behind=np.zeros(days, dtype=np.int64),
        fed=np.full(days, rest.fed),
        at=np.zeros(days, dtype=np.int64),
        won=np.zeros(days),
        is_over=np.zeros(days, dtype=np.bool_),
    )
    start, end, meal = (np.full(shape, np.nan) for shape in ((n, days), (n, days), days))
    light = np.zeros((n, days))
    while not now.is_over.all():
        step = policy.decisions.step[now.fed, now.behind, now.at]
        now.is_over |= step == STOP
        eats = np.flatnonzero(~now.is_over & (step == EAT))
        begin = np.maximum(now.at[eats], policy.odds.meal_first)
        meal[eats] = begin
        now.at[eats], now.fed[eats] = begin + policy.odds.meal_slots, 2
        now.won[eats] += policy.odds.meal_points
        goes_to = np.where(~now.is_over & (step > 0), now.behind + step - 1, -1)
        for place in range(n):
            on = np.flatnonzero(goes_to == place)
            if len(on):
                _shoot(policy, place, factors[own[place]], on, step[on], now, start, end, light)
    points = now.won + policy.odds.end[now.at] + rest.settled
    return Drawn(
        start=start + rest.origin,
        end=end + rest.origin,
        light=light,
        meal=meal + rest.origin,
        stop=(now.at + rest.origin).astype(np.float64),
        points=points - made_drift(policy.drifts, policy.references),
    )


@dataclass(slots=True, kw_only=True)
class _Now:
    """Where the crew stands on each day, changed in place: (days,)."""

    behind: IntArray
    fed: IntArray
    at: IntArray
    won: FloatArray
    is_over: BoolArray


def _shoot(
    policy: Followed,
    place: int,
    factors: FloatArray,
    on: IntArray,
    step: IntArray,
    now: _Now,
    start: FloatArray,
    end: FloatArray,
    light: FloatArray,
) -> None:
    """Build and roll the shot in one place on the days `on`."""
    rest, odds, decisions = policy.rest, policy.odds, policy.decisions
    s, last_slot = int(policy.order[place]), rest.slots - 1
    shot, fed, behind = rest.shots[s], np.minimum(now.fed[on], 1), now.behind[on]
    before = np.append(policy.order, len(rest.shots))[behind - 1]
    opening = decisions.opening[fed, behind, step - 1, now.at[on]]
    since = np.maximum(now.at[on], odds.begin_from[opening, before, s])
    ready = since + whole_minutes(rest.build_min[before, s], factors[0, on])
    cost = np.array([order_cost(odds, policy.order, i, place) for i in range(place + 1)])
    now.won[on] -= cost[behind] + odds.toll[s] * (now.fed[on] == 2)
    now.behind[on], now.fed[on] = place + 1, fed
    now.at[on] = ready = np.minimum(ready, last_slot)
    roll = decisions.roll[fed, place, opening, ready]
    rolls = roll >= 0
    on, roll, opening = on[rolls], roll[rolls], opening[rolls]
    until_of = np.zeros((odds.begin_from.shape[0], rest.slots), dtype=np.int64)
    for row in range(odds.room_from[s], odds.room_from[s + 1]):
        first, last = odds.room_first[row], odds.room_last[row]
        until_of[odds.room_opening[row], first:last] = last
    limit = until_of[opening, roll]
    lasts = whole_minutes(shot.shoot_min, factors[1, on])
    until = np.minimum(roll + lasts, limit)
    now.at[on] = until
    now.won[on] += rest.fit.day.costs.wait * (until - roll)
    made = roll + lasts <= limit
    on, roll, until = on[made], roll[made], until[made]
    start[place, on], end[place, on] = roll, until
    sums = np.concatenate(([0.0], np.cumsum(rest.fit.shots[shot.id].fit)))
    kept = sums[until + rest.origin] - sums[roll + rest.origin]
    light[place, on] = kept / (until - roll)
    now.won[on] += 1000.0 * shot.weight * light[place, on] + left_out_cost(rest.fit.day, shot)
    group = policy.drifts.match[s]
    if group >= 0:
        by_half = policy.drifts.by_half[s][:, policy.references[group]]
        now.won[on] -= by_half[roll + until]
