"""Changes to a day's tables that no day folder can ask for: decisions to be priced.

What a folder can say (a pin, cast hours, a shot cut, a meal's time, a wrap, an order) is changed in
the day itself; these are the rest. Each gives a problem of the same shape, so that an answer to the
one is a start for the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sunsched.solver.instance.problem import FORBIDDEN, Problem


def rolled_between(problem: Problem, shot: int, earliest: int, latest: int) -> Problem:
    """Make a shot start to roll between two track minutes, both included, and not be left out."""
    gain, must = problem.gain.copy(), problem.must.copy()
    minutes = problem.origin + np.arange(problem.slots) * problem.grid_min + problem.offset[shot]
    gain[:, shot, (minutes < earliest) | (minutes > latest)] = FORBIDDEN
    must[shot] = True
    return replace(problem, gain=gain, must=must)


def made_first(problem: Problem, shot: int, made: Sequence[int] = ()) -> Problem:
    """Make a shot the first of the day, or of all that come after those that are made already."""
    forbidden, must = problem.forbidden_pair.copy(), problem.must.copy()
    others = np.setdiff1d(np.arange(problem.shots), [shot, *made])
    forbidden[others, shot] = True
    must[shot] = True
    return replace(problem, forbidden_pair=forbidden, must=must)


def near_order(problem: Problem, order: Sequence[int], cost: int) -> Problem:
    """Charge `cost` points for every pair of shots turned round against an order."""
    pair_cost = problem.pair_cost.copy()
    for place, shot in enumerate(order):
        pair_cost[order[place + 1 :], shot] += cost
    return replace(problem, pair_cost=pair_cost)
