"""The compiled side's view of a problem: flat arrays in scaled whole numbers.

Every figure is the problem's points times `SCALE`, and the wrap costs one more for each minute
after the origin. So the largest figure is the most points and, among equals, the earliest finish:
the tie rule costs nothing and needs no second search.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sunsched.order.fit import BoolArray, IntArray
from sunsched.order.problem import FORBIDDEN, Problem

SCALE = 2048  # more than the minutes of the longest day, so that a minute never outweighs a point
NEVER = FORBIDDEN * SCALE
LOST = NEVER // 2  # any value below this stands for "cannot be done"
MUST_POINTS = 1_000_000  # what leaving out a shot that must be made costs: more than a whole day


class Tables(NamedTuple):
    """Arrays as in `Problem`, scaled; `far` is the pair cost, huge where a pair is forbidden.

    `near` is the arc cost with the pair cost of neighbours: what a relaxed path can be charged. A
    shot that must be made has MUST_POINTS in its gain; a plan without it is then never the best one
    unless there is no other.
    """

    gain: IntArray
    kind: IntArray
    lag: IntArray
    roll_slots: IntArray
    lag_meal: IntArray
    arc_cost: IntArray
    near: IntArray
    far: IntArray
    after_meal_cost: IntArray
    end_cost: IntArray
    can_skip_meal: BoolArray
    meal_from: int
    meal_to: int


def make_tables(problem: Problem) -> Tables:
    """Scale a problem's tables for the compiled functions."""
    n, slots = problem.shots, problem.slots
    far = problem.pair_cost * SCALE
    far[problem.forbidden_pair] = -NEVER
    arc_cost = problem.arc_cost * SCALE
    near = arc_cost.copy()
    near[:n] += far
    wrap_min = np.arange(slots) * problem.grid_min + problem.offset[:, None]
    wrap_min += problem.roll_min[:, None]
    gain = (problem.gain + MUST_POINTS * problem.must[:, None]) * SCALE
    gain[problem.gain <= FORBIDDEN] = NEVER
    return Tables(
        gain=gain,
        kind=problem.kind,
        lag=problem.lag,
        roll_slots=problem.roll_slots,
        lag_meal=problem.lag_meal,
        arc_cost=arc_cost,
        near=near,
        far=far,
        after_meal_cost=problem.after_meal_cost * SCALE,
        end_cost=problem.end_cost * SCALE + wrap_min,
        can_skip_meal=problem.can_skip_meal,
        meal_from=problem.meal_from,
        meal_to=problem.meal_to,
    )


def whole_points(problem: Problem, scaled: float) -> int:
    """Give the most points that a scaled figure can stand for, counted as the judge counts."""
    return -int(-scaled // SCALE) + problem.base - MUST_POINTS * int(problem.must.sum())
