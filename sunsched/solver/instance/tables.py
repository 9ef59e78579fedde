"""The compiled side's view of a problem: flat arrays in scaled whole numbers.

Every figure is the problem's points times `SCALE`, and the wrap costs one more for each minute
after the first roll that can end. So the largest figure is the most points and, among equals, the
earliest finish: the tie rule costs nothing and needs no second search.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sunsched.errors import SunschedError
from sunsched.light.fit import BoolArray, IntArray
from sunsched.solver.instance.problem import FORBIDDEN, Problem

SCALE = 2048  # more than the minutes of the longest day, so that a minute never outweighs a point
NEVER = -(1 << 54)
LOST = -(1 << 52)  # any value below this stands for "cannot be done"
BARRED = 1 << 53  # the cost of a pair that is forbidden: some hundreds of them can be added
LARGEST = 1 << 50  # above all that a plan, or a path that repeats shots, can win or lose
LARGEST_DRIFT = 1 << 31  # the same for the drift of a match, in points: labels count it in 32 bits


class Tables(NamedTuple):
    """Arrays as in `Problem`, scaled; `far` is the pair cost, huge where a pair is forbidden.

    `near` is the arc cost with the pair cost of neighbours: what a relaxed path can be charged.
    `walk` has the shots in the order in which they can follow one another within a slot. The gain
    of a shot that must be made has `must_worth` on top, which is more than any two plans differ by,
    so that a plan without it is never the best one unless there is no other.
    """

    gain: IntArray
    kind: IntArray
    lag: IntArray
    lag_fed: IntArray
    fed_from: IntArray
    eat_by: IntArray
    arc_cost: IntArray
    near: IntArray
    far: IntArray
    after_meal_cost: IntArray
    end_cost: IntArray
    can_skip_meal: BoolArray
    walk: IntArray
    must_worth: int


def make_tables(problem: Problem) -> Tables:
    """Scale a problem's tables for the compiled functions.

    Raises
    ------
    SunschedError
        When weights and costs are so large, or ends of rolls so far apart, that sums of them could
        not be told apart exactly.
    """
    n, slots = problem.shots, problem.slots
    far = problem.pair_cost * SCALE
    far[problem.forbidden_pair] = BARRED
    arc_cost = problem.arc_cost * SCALE
    near = arc_cost.copy()
    near[:n] += far
    is_open = problem.gain > FORBIDDEN
    must_worth = (2 * problem.span + 2) * SCALE
    gain = problem.gain * SCALE + must_worth * problem.must[:, None]
    most = int(np.where(is_open, gain, 0).max(initial=0))
    gain[~is_open] = NEVER
    wrap_min = np.arange(slots) * problem.grid_min + problem.offset[:, None]
    wrap_min += problem.roll_min[:, None]
    is_start = is_open.any(axis=0)
    first = wrap_min[is_start].min(initial=SCALE * SCALE)
    wrap_min = np.where(is_start, wrap_min - first, 0)
    won = slots * most + must_worth * int(problem.must.sum())
    _check(problem, won, int(wrap_min.max(initial=0)))
    return Tables(
        gain=gain,
        kind=problem.kind,
        lag=problem.lag,
        lag_fed=problem.lag_fed,
        fed_from=problem.fed_from,
        eat_by=problem.eat_by,
        arc_cost=arc_cost,
        near=near,
        far=far,
        after_meal_cost=problem.after_meal_cost * SCALE,
        end_cost=problem.end_cost * SCALE + wrap_min,
        can_skip_meal=problem.can_skip_meal,
        walk=np.argsort(problem.offset, kind="stable"),
        must_worth=must_worth,
    )


def whole_points(problem: Problem, scaled: float) -> int:
    """Give the most points that a scaled figure can stand for, counted as the judge counts.

    Parameters
    ----------
    scaled : without what must be made has on top
    """
    return -int(-scaled // SCALE) + problem.base


def _check(problem: Problem, won: int, wrap_min: int) -> None:
    """Refuse figures whose sums could overflow, or tie although they differ.

    Parameters
    ----------
    won : scaled, the most that a path can win that makes a shot in each slot
    """
    drift = problem.drift.max(axis=(1, 2), initial=0).sum(dtype=np.int64)
    if won + (problem.span + 1) * SCALE >= LARGEST or drift >= LARGEST_DRIFT:
        raise SunschedError("the weights and costs of this day are too large to be added exactly")
    if wrap_min >= SCALE:
        hours = SCALE // 60
        raise SunschedError(f"rolls of this day can end more than {hours} hours apart")
