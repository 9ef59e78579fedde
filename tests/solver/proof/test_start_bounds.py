"""Bounds on all starts at once, from two sweeps, against brute force with each start in turn."""

from dataclasses import replace

import numpy as np
import pytest
from oracles.brute import best_of_all
from oracles.days import random_day
from seeds import few_first

from sunsched.light.fit import fit_day
from sunsched.solver.build import make_problem
from sunsched.solver.instance.changes import rolled_between
from sunsched.solver.solve import solve
from sunsched.solver.start_bounds import NO_PLAN, start_bounds

SEEDS = range(700, 740)
GRID_MIN = 30


@pytest.mark.parametrize("seed", few_first(SEEDS, 2))
def test_no_plan_with_a_start_is_worth_more_than_its_bound(seed):
    """Whatever the prices: those of the solved day, and others that somebody has mixed up.

    Where brute force has no plan with a start, the bound may say so or hold by being high.
    """
    problem = make_problem(fit_day(random_day(seed, 4, ("keel",))), GRID_MIN)
    answer = solve(problem)
    if answer is None:
        assert best_of_all(problem) is None
        return
        pytest.skip("the day has no plan")
    prices = np.random.default_rng(seed).permutation(answer.start.prices)
    mixed = replace(answer, start=replace(answer.start, prices=prices))
    good, bad = start_bounds(problem, answer), start_bounds(problem, mixed)
    best = best_of_all(problem)
    assert best is not None
    assert good.max() == best[0], "no start is better than the best plan's, and those have it"
    for shot in range(problem.shots):
        for slot in range(0, problem.slots, 2):
            minute = problem.start_minute(shot, slot)
            found = best_of_all(rolled_between(problem, shot, minute, minute))
            if found is not None:
                assert good[shot, slot] >= found[0]
                assert bad[shot, slot] >= found[0]
            elif not (problem.gain[:, shot, slot] > -(10**14)).any():
                assert good[shot, slot] == NO_PLAN
