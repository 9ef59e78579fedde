"""The day as a dynamic programme for didppy, a general solver of such models.

A state is the shots left, the last one made, the slot in which it started, whether the meal is
taken, and the reference of each match, which is chosen before the first shot. Minutes of the finish
stand in the cost below the points: the plan is also the earliest finish that its points allow.
"""

from __future__ import annotations

from time import perf_counter

import didppy
import numpy as np
import numpy.typing as npt

from oracles.answer import UNKNOWN, OracleAnswer
from sunsched.solver.instance.problem import FORBIDDEN, Problem

IntArray = npt.NDArray[np.int64]
SCALE = 2048  # more than the minutes of a day
NEVER = -(10**9)  # stands for a start that must not be, in tables of 32 bits
LARGEST = 2**31 - 1  # didppy counts in 32 bits


def best(problem: Problem, limit_s: float, workers: int = 2) -> OracleAnswer:
    """Ask didppy for the plan with the most points and, among equals, the earliest finish.

    Raises
    ------
    ValueError
        When its points are too many to count in 32 bits, or finishing later may cost less.
    """
    begun = perf_counter()
    day = _Day(problem)
    solver = didppy.CABS(day.model, time_limit=limit_s, quiet=True, threads=workers)
    solution = solver.search()
    seconds = perf_counter() - begun
    if solution.is_infeasible:
        return OracleAnswer(points=None, bound=-UNKNOWN, is_proven=True, seconds=seconds)
    bound = UNKNOWN
    if solution.best_bound is not None:
        bound = problem.base - -solution.best_bound // SCALE
    if solution.cost is None:
        return OracleAnswer(points=None, bound=bound, is_proven=False, seconds=seconds)
    points = problem.base - -solution.cost // SCALE
    sequence, starts, meal = day.plan([step.name for step in solution.transitions])
    return OracleAnswer(
        points=points,
        bound=points if solution.is_optimal else bound,
        is_proven=solution.is_optimal,
        sequence=sequence,
        starts=starts,
        meal=meal,
        seconds=seconds,
    )


class _Day:
    """The model of a problem, and how to read its steps."""

    def __init__(self, problem: Problem) -> None:
        if (np.diff(problem.end_cost, axis=1) < 0).any() or (
            np.diff(problem.can_skip_meal.astype(np.int64), axis=1) > 0
        ).any():
            raise ValueError("an earlier finish must never be worse than a later one")
        allowed = problem.gain > FORBIDDEN
        if np.where(allowed, np.abs(problem.gain), 0).max(axis=(0, 2)).sum() * SCALE > LARGEST // 4:
            raise ValueError("the points of the day are too many to count in 32 bits")
        self.problem = problem
        self.slots_of: dict[str, IntArray] = {}
        n, slots = problem.shots, problem.slots
        self.model = model = didppy.Model(maximize=True)
        shot = model.add_object_type(number=n)
        self.left = model.add_set_var(object_type=shot, target=range(n))
        self.last = model.add_element_var(object_type=model.add_object_type(number=n + 1), target=n)
        # Earlier is better: all that follows can be made as well, and no dearer.
        self.slot = model.add_element_resource_var(
            object_type=model.add_object_type(number=slots + 1), target=0, less_is_better=True
        )
        self.fed, self.done = (model.add_int_var(target=0) for _ in range(2))
        suns = problem.drift.shape[2]
        sun = model.add_object_type(number=suns + 1)
        self.references = [
            model.add_element_var(object_type=sun, target=suns)
            for _ in range(problem.match.max() + 1)
        ]
        for group, reference in enumerate(self.references):
            for r in range(suns):
                before = [earlier < suns for earlier in self.references[:group]]
                step = didppy.Transition(
                    name=f"sun {group} {r}",
                    cost=didppy.IntExpr.state_cost(),
                    preconditions=[self.done == 0, reference == suns, *before],
                    effects=[(reference, r)],
                )
                model.add_transition(step)
        self.is_chosen = [self.references[-1] < suns] if self.references else []
        self.pair_cost = model.add_int_table((problem.pair_cost * SCALE).tolist())
        for s in range(n):
            self._make(s)
            if problem.must[s]:
                latest = (
                    int(np.flatnonzero(allowed[:, s].any(axis=0))[-1]) if allowed[:, s].any() else 0
                )
                model.add_state_constr(~self.left.contains(s) | (self.slot <= latest))
        self._wrap()
        self._bound()

    def _net(self, s: int) -> IntArray:
        """Give what shot s earns by kind, slot and reference (one without a match): (K, T, R)."""
        net = self.problem.gain[:, s, :, None]
        if self.problem.match[s] >= 0:
            net = np.where(net > FORBIDDEN, net - self.problem.drift[s].astype(np.int64), FORBIDDEN)
        return np.where(net > FORBIDDEN, net * SCALE, NEVER)

    def _make(self, b: int) -> None:
        """Add the steps that make shot b: in the first slot it can have, or a later better one."""
        problem, n, slots = self.problem, self.problem.shots, self.problem.slots
        net = self._net(b)
        records = _records(net)  # (J, K, T + 1, R)
        now = np.arange(slots)
        rows = np.arange(n + 1)
        for is_meal in (False, True):
            then = now + problem.lag[rows, b][:, None]  # (n + 1, T)
            toll = problem.arc_cost[rows, b] * SCALE
            if is_meal:
                fed = np.maximum(
                    now + problem.lag_fed[rows, b][:, None], problem.fed_from[rows, b][:, None]
                )
                then = np.where(now <= problem.eat_by[:, None], fed, slots)
                toll = toll + int(problem.after_meal_cost[b]) * SCALE
            then = np.minimum(then, slots)
            kinds = problem.kind[rows, b]
            for j, record in enumerate(records):
                start = record[kinds[:, None], then]  # (n + 1, T, R)
                earned = np.take_along_axis(net[kinds], np.minimum(start, slots - 1), axis=1)
                if (start < slots).any():
                    self._add_step(b, j, is_meal, start, earned - toll[:, None, None])

    def _add_step(self, b: int, j: int, is_meal: bool, start: IntArray, worth: IntArray) -> None:
        """Add the step that makes b in its j-th slot worth having; tables are (n + 1, T, R)."""
        model, problem = self.model, self.problem
        # The slot after the last stands for a start that cannot be.
        start = np.pad(start, ((0, 0), (0, 1), (0, 0)), constant_values=problem.slots)
        worth = np.pad(worth, ((0, 0), (0, 1), (0, 0)))
        name = f"{b} {int(is_meal)} {j}"
        self.slots_of[name] = start
        group = int(problem.match[b])
        if group < 0:
            start, worth = start[:, :, 0], worth[:, :, 0]
            place: tuple[object, ...] = (self.last, self.slot)
        else:
            start, worth = (np.pad(x, ((0, 0), (0, 0), (0, 1))) for x in (start, worth))
            place = (self.last, self.slot, self.references[group])
        then = model.add_element_table(start.tolist())[place]
        cost = model.add_int_table(worth.tolist())[place] + didppy.IntExpr.state_cost()
        if problem.pair_cost[:, b].any():
            cost -= self.pair_cost[self.left.complement(), b]
        conditions = [self.done == 0, self.left.contains(b), *self.is_chosen, then < problem.slots]
        effects = [(self.left, self.left.remove(b)), (self.last, b), (self.slot, then)]
        if is_meal:
            conditions.append(self.fed == 0)
            effects.append((self.fed, 1))
        too_late = np.flatnonzero(problem.forbidden_pair[:, b]).tolist()
        conditions += [self.left.contains(a) for a in too_late]
        model.add_transition(
            didppy.Transition(name=name, cost=cost, preconditions=conditions, effects=effects)
        )

    def _wrap(self) -> None:
        """Add the step that ends the day: all made that must be, the meal taken or not due."""
        model, problem, n = self.model, self.problem, self.problem.shots
        minutes = np.arange(problem.slots) * problem.grid_min + problem.offset[:, None]
        costs = problem.end_cost * SCALE + minutes + problem.roll_min[:, None]
        end_cost = model.add_int_table(np.pad(costs, ((0, 1), (0, 1))).tolist())
        skip = model.add_bool_table(np.pad(problem.can_skip_meal, ((0, 1), (0, 1))).tolist())
        here = (self.last, self.slot)
        model.add_transition(
            didppy.Transition(
                name="wrap",
                cost=didppy.IntExpr.state_cost() - end_cost[here],
                preconditions=[
                    self.done == 0,
                    self.last != n,
                    (self.fed == 1) | skip[here],
                    *(~self.left.contains(s) for s in np.flatnonzero(problem.must).tolist()),
                ],
                effects=[(self.done, 1)],
            )
        )
        model.add_base_case([self.done == 1])

    def _bound(self) -> None:
        """Bound the rest of a day: each shot left earns the most it can from this slot on."""
        problem, n, slots = self.problem, self.problem.shots, self.problem.slots
        suns = problem.drift.shape[2]
        best_of = {}
        for s in range(n):
            most = np.maximum(self._net(s).max(axis=0), 0)
            most = np.maximum.accumulate(most[::-1])[::-1]
            best_of[s] = np.pad(most, ((0, 1), (0, 0)))  # (T + 1, R)
        plain = np.array([best_of[s][:, 0] * (problem.match[s] < 0) for s in range(n)])
        bound = self.model.add_int_table(plain.tolist())[self.left, self.slot]
        for group, reference in enumerate(self.references):
            most = np.zeros((n, slots + 1, suns + 1), dtype=np.int64)
            for s in np.flatnonzero(problem.match == group).tolist():
                most[s, :, :suns] = best_of[s]
                most[s, :, suns] = best_of[s].max(axis=1)
            bound += self.model.add_int_table(most.tolist())[self.left, self.slot, reference]
        self.model.add_dual_bound((self.done == 1).if_then_else(0, bound))

    def plan(self, names: list[str]) -> tuple[tuple[int, ...], tuple[int, ...], int]:
        """Read the steps of a solution: sequence, starts and the meal's place."""
        last, slot, meal = self.problem.shots, 0, -1
        references: dict[int, int] = {}
        sequence: list[int] = []
        starts: list[int] = []
        for name in names:
            if name == "wrap":
                continue
            if name.startswith("sun"):
                group, reference = (int(part) for part in name.split()[1:])
                references[group] = reference
                continue
            shot, is_meal, _ = (int(part) for part in name.split())
            if is_meal:
                meal = len(sequence)
            reference = references.get(int(self.problem.match[shot]), 0)
            slot = int(self.slots_of[name][last, slot, reference])
            last = shot
            sequence.append(shot)
            starts.append(slot)
        return tuple(sequence), tuple(starts), meal


def _records(net: IntArray) -> list[IntArray]:
    """List, for each earliest slot, the first start allowed, the first worth more, and so on.

    Each array is (K, T + 1, R), T where there is no such start.
    """
    kinds, slots, suns = net.shape
    worth = np.pad(net, ((0, 0), (0, 1), (0, 0)), constant_values=NEVER)
    # after[t] is the first start behind t that is worth more than a start in t.
    after = np.full((kinds, slots + 1, suns), slots)
    first = np.full((kinds, slots + 1, suns), slots)
    for t in range(slots - 1, -1, -1):
        candidate = after[:, t] * 0 + t + 1
        while True:
            worse = (candidate < slots) & (
                np.take_along_axis(worth, candidate[:, None], axis=1)[:, 0] <= worth[:, t]
            )
            if not worse.any():
                break
            step = np.take_along_axis(after, candidate[:, None], axis=1)[:, 0]
            candidate = np.where(worse, step, candidate)
        after[:, t] = candidate
        first[:, t] = np.where(worth[:, t] > NEVER, t, candidate)
    found, record = [], first
    while (record < slots).any():
        found.append(record)
        record = np.take_along_axis(after, record, axis=1)
    return found
