"""The best plan of a small day by trying every order of every choice of shots.

Each order is timed exactly by a row of values over the slots for each choice of references,
without and with the meal taken; nothing is pruned.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import numpy.typing as npt

from sunsched.solver.instance.problem import FORBIDDEN, Problem

IntArray = npt.NDArray[np.int64]
SCALE = 2048  # more than the minutes of a day
NEVER = -(10**15)


def best_of_all(problem: Problem) -> tuple[int, int] | None:
    """Give the most points of any plan and the earliest finish they allow; None for no plan.

    The finish is in minutes after the origin. Takes about a second for 6 shots and a match.
    """
    every = _Every(problem)
    start = np.full((2, every.suns, problem.slots), NEVER)
    start[0, :, 0] = 0
    every.extend((), start)
    if every.best <= NEVER // 2:
        return None
    points = -(-every.best // SCALE)
    return problem.base + points, points * SCALE - every.best


class _Every:
    """The best value found so far, and what each start is worth by choice of references."""

    def __init__(self, problem: Problem) -> None:
        self.problem, self.best = problem, NEVER
        groups = int(problem.match.max()) + 1
        choices = np.array(list(product(range(problem.drift.shape[2]), repeat=groups)))
        self.suns = len(choices)
        gain = np.where(problem.gain > FORBIDDEN, problem.gain * SCALE, NEVER)
        self.net = np.repeat(gain[:, :, None, :], self.suns, axis=2)  # (K, n, R, T)
        for s in np.flatnonzero(problem.match >= 0):
            drift = problem.drift[s].astype(np.int64).T[choices[:, problem.match[s]]]
            self.net[:, s] -= drift * SCALE
        minutes = np.arange(problem.slots) * problem.grid_min + problem.offset[:, None]
        self.end = problem.end_cost * SCALE + minutes + problem.roll_min[:, None]

    def extend(self, made: tuple[int, ...], value: IntArray) -> None:
        """Wrap after these shots, and go on with each of the others.

        Parameters
        ----------
        value : (2, R, T) by meal taken, references and the slot in which the last one started
        """
        problem = self.problem
        last = made[-1] if made else problem.shots
        if made and set(np.flatnonzero(problem.must).tolist()).issubset(made):
            whole = np.where(problem.can_skip_meal[last], value.max(axis=0), value[1])
            self.best = max(self.best, int((whole - self.end[last]).max()))
        for b in range(problem.shots):
            if b in made or any(problem.forbidden_pair[a, b] for a in made):
                continue
            cost = int(problem.arc_cost[last, b]) + sum(int(problem.pair_cost[a, b]) for a in made)
            reach = self.reach(value, last, b)
            if (reach > NEVER // 2).any():
                net = self.net[problem.kind[last, b], b] - cost * SCALE
                then = np.where((reach > NEVER // 2) & (net > NEVER // 2), reach + net, NEVER)
                self.extend((*made, b), then)

    def reach(self, value: IntArray, a: int, b: int) -> IntArray:
        """Give the value with which b can start in each slot after a, the meal between or not."""
        problem, slots = self.problem, self.problem.slots
        reach = np.full_like(value, NEVER)
        lag = int(problem.lag[a, b])
        if lag < slots:
            reach[:, :, lag:] = value[:, :, : slots - lag]
        for t in range(slots):
            then = max(t + int(problem.lag_fed[a, b]), int(problem.fed_from[a, b]))
            if t > problem.eat_by[a] or then >= slots:
                break
            eaten = value[0, :, t] - int(problem.after_meal_cost[b]) * SCALE
            reach[1, :, then] = np.maximum(reach[1, :, then], eaten)
        return np.maximum.accumulate(reach, axis=2)


def worth_of_each_order(problem: Problem) -> dict[tuple[tuple[int, ...], int], int]:
    """Give the most points of every order, by its shots and the place of its meal; −1 for none."""
    every = _EachOrder(problem)
    start = np.full((2, every.suns, problem.slots), NEVER)
    start[0, :, 0] = 0
    every.extend((), start)
    return {form: problem.base - -points // SCALE for form, points in every.worth.items()}


class _EachOrder(_Every):
    """The best value of each order; plans with a meal are kept apart by its place."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem)
        self.worth: dict[tuple[tuple[int, ...], int], int] = {}
        self.meal = -1

    def extend(self, made: tuple[int, ...], value: IntArray) -> None:
        """Go on as without a meal, and once as with the meal before each next shot."""
        self._end(made, value)
        problem = self.problem
        last = made[-1] if made else problem.shots
        for b in range(problem.shots):
            if b in made or any(problem.forbidden_pair[a, b] for a in made):
                continue
            cost = int(problem.arc_cost[last, b]) + sum(int(problem.pair_cost[a, b]) for a in made)
            net = self.net[problem.kind[last, b], b] - cost * SCALE
            reach = self.reach(value, last, b)
            then = np.where((reach > NEVER // 2) & (net > NEVER // 2), reach + net, NEVER)
            if self.meal >= 0:
                self.extend((*made, b), then)
                continue
            fed = np.where(np.arange(2)[:, None, None] == 1, then, NEVER)
            hungry = np.where(np.arange(2)[:, None, None] == 0, then, NEVER)
            self.extend((*made, b), hungry)
            self.meal = len(made)
            self.extend((*made, b), fed)
            self.meal = -1

    def _end(self, made: tuple[int, ...], value: IntArray) -> None:
        """Note what it is worth to wrap after these shots."""
        problem = self.problem
        if not made or not set(np.flatnonzero(problem.must).tolist()).issubset(made):
            return
        last = made[-1]
        whole = np.where(problem.can_skip_meal[last], value.max(axis=0), value[1])
        best = int((whole - self.end[last]).max())
        if best > NEVER // 2:
            self.worth[made, self.meal] = best
