"""What a plan can be worth at most that starts a shot in a slot: all of them in two sweeps."""

from __future__ import annotations

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.answer import Answer
from sunsched.solver.bound.branch_and_bound import whole_day
from sunsched.solver.bound.lagrangian import make_sweep, start_values, swept_value
from sunsched.solver.bound.node import charged
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import LOST, SCALE, make_tables, whole_points
from sunsched.solver.search.incumbent import Incumbent

NO_PLAN = -(10**15)  # points; stands for a start that no plan has


def start_bounds(problem: Problem, answer: Answer) -> IntArray:
    """Bound all starts at once with the prices and the memory that a solve has left.

    One sweep back over the day and one forward take some milliseconds. The bounds hold whatever the
    prices are; those of the solved day are good ones.

    Parameters
    ----------
    answer : to this problem

    Returns
    -------
    bounds : (n, T) points that no plan with that start is worth more than; NO_PLAN for none
    """
    tables = make_tables(problem)
    best = Incumbent(tables, problem)
    node = whole_day(best, answer.start)
    earned = charged(tables, problem, node)
    swept = make_sweep(tables.gain, node)
    swept_value(tables, node, earned, swept)
    scaled = start_values(tables, node, earned, swept)
    points = -((best.must_worth - scaled) // SCALE) + problem.base
    bounds: IntArray = np.minimum(points, whole_points(problem, answer.bound))
    bounds[scaled < LOST] = NO_PLAN
    return bounds
