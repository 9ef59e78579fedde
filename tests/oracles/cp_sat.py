"""The day as a constraint programme for OR-Tools CP-SAT.

Shots are nodes of a circuit with optional nodes; a shot left out stands in the slot after the last,
where it earns nothing. Values are element constraints on the start, drift linear over pairs of
start and reference, overtime straight lines; intervals that cannot overlap tighten the rest.
"""

from __future__ import annotations

from time import perf_counter

import numpy as np
import numpy.typing as npt
from ortools.sat.python import cp_model

from oracles.answer import UNKNOWN, OracleAnswer, shared_slots
from sunsched.solver.instance.problem import FORBIDDEN, Problem

IntArray = npt.NDArray[np.int64]


def best(problem: Problem, limit_s: float, workers: int = 2) -> OracleAnswer:
    """Ask CP-SAT for the plan with the most points; finishing early is not asked of it.

    Raises
    ------
    ValueError
        When three shots may start in one slot.
    """
    begun = perf_counter()
    day = _Day(problem)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = limit_s
    # Of all its searches this one closed the gap furthest in ten seconds, on days of 12 shots.
    solver.parameters.extra_subsolvers.append("objective_lb_search")
    status = solver.solve(day.model)
    seconds = perf_counter() - begun
    if status == cp_model.INFEASIBLE:
        return OracleAnswer(points=None, bound=-UNKNOWN, is_proven=True, seconds=seconds)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        bound = UNKNOWN if status == cp_model.MODEL_INVALID else round(solver.best_objective_bound)
        return OracleAnswer(points=None, bound=bound, is_proven=False, seconds=seconds)
    sequence: list[int] = []
    meal, a = -1, problem.shots
    while True:
        b = next(b for (x, b), arc in day.arcs.items() if x == a and solver.value(arc))
        if b == problem.shots:
            break
        if solver.value(day.meal_before[b]):
            meal = len(sequence)
        sequence.append(b)
        a = b
    return OracleAnswer(
        points=round(solver.objective_value),
        bound=round(solver.best_objective_bound),
        is_proven=status == cp_model.OPTIMAL,
        sequence=tuple(sequence),
        starts=tuple(solver.value(day.start[s]) for s in sequence),
        meal=meal,
        seconds=seconds,
    )


class _Day:
    """The model of a problem and the variables that say what its plan is."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.model = cp_model.CpModel()
        n, slots = problem.shots, problem.slots
        self.allowed = problem.gain > FORBIDDEN  # (K, n, T)
        self.start = [
            self.model.new_int_var_from_domain(
                cp_model.Domain.from_values(
                    [*np.flatnonzero(self.allowed[:, s].any(axis=0)), slots]
                ),
                f"start {s}",
            )
            for s in range(n)
        ]
        self.made = [self.model.new_bool_var(f"made {s}") for s in range(n)]
        self.meal_before = [self.model.new_bool_var(f"meal before {s}") for s in range(n)]
        self.arcs = {
            (a, b): self.model.new_bool_var(f"{a} then {b}")
            for a in range(n + 1)
            for b in range(n + 1)
            if a != b
        }
        for s in range(n):
            self.model.add(self.start[s] < slots).only_enforce_if(self.made[s])
            self.model.add(self.start[s] == slots).only_enforce_if(~self.made[s])
            if problem.must[s]:
                self.model.add(self.made[s] == 1)
        self.model.add_circuit(
            [
                *((a, b, arc) for (a, b), arc in self.arcs.items()),
                *((s, s, ~self.made[s]) for s in range(n)),
            ]
        )
        self._changeovers()
        self._room()
        moves = [
            int(cost) * self.arcs[a, b]
            for (a, b), cost in np.ndenumerate(problem.arc_cost)
            if a != b and cost
        ]
        tolls = [int(c) * self.meal_before[s] for s, c in enumerate(problem.after_meal_cost) if c]
        costs = [*moves, *tolls, *self._pairs(), *self._drifts(), self._end()]
        earned = cp_model.LinearExpr.sum(self._gains())
        self.model.maximize(problem.base + earned - cp_model.LinearExpr.sum(costs))

    def _changeovers(self) -> None:
        """Keep each shot away from the one before it, with the meal between or not."""
        problem, n, model = self.problem, self.problem.shots, self.model
        model.add_at_most_one(self.meal_before)
        for b in range(n):
            model.add_implication(self.meal_before[b], self.made[b])
        for (a, b), arc in self.arcs.items():
            if b == n:
                continue
            start = 0 if a == n else self.start[a]
            lag, lag_fed = int(problem.lag[a, b]), int(problem.lag_fed[a, b])
            eats = (arc, self.meal_before[b])
            if problem.eat_by[a] < 0:
                model.add_bool_or(*(~one for one in eats))
            else:
                model.add(start <= int(problem.eat_by[a])).only_enforce_if(*eats)
                model.add(self.start[b] >= start + lag_fed).only_enforce_if(*eats)
                model.add(self.start[b] >= int(problem.fed_from[a, b])).only_enforce_if(*eats)
            apart = model.add(self.start[b] >= start + lag)
            if lag_fed >= lag:
                apart.only_enforce_if(arc)
            else:
                apart.only_enforce_if(arc, ~self.meal_before[b])
            kind = problem.kind[a, b]
            if not self.allowed[kind, b].all():
                model.add_linear_expression_in_domain(
                    self.start[b],
                    cp_model.Domain.from_values(np.flatnonzero(self.allowed[kind, b]).tolist()),
                ).only_enforce_if(arc)

    def _room(self) -> None:
        """Tighten: what every arc leaves to a shot before and after its start is the shot's own."""
        problem, n = self.problem, self.problem.shots
        if n < 2:
            return
        other = ~np.eye(n + 1, n, dtype=np.bool_)
        lags = np.minimum(problem.lag, problem.lag_fed)
        after = np.minimum(
            problem.roll_min // problem.grid_min, np.where(other, lags, 10**6)[:n].min(axis=1)
        )
        before = np.where(other[:n], lags[:n] - after[:, None], 10**6).min(axis=0)
        before = np.maximum(0, before)
        # The first shot follows no other: its room before its start may reach back past slot 0.
        intervals = [
            self.model.new_optional_fixed_size_interval_var(
                self.start[s] - int(before[s]), int(before[s] + after[s]), self.made[s], f"room {s}"
            )
            for s in range(n)
        ]
        self.model.add_no_overlap(intervals)

    def _gains(self) -> list[cp_model.IntVar]:
        """Give what each shot earns: by start, and by how it is built only where that differs."""
        gains: list[cp_model.IntVar] = []
        for s in range(self.problem.shots):
            tables = np.where(self.allowed[:, s], self.problem.gain[:, s], 0)
            union = np.where(self.allowed[:, s], self.problem.gain[:, s], FORBIDDEN).max(axis=0)
            union[union <= FORBIDDEN] = 0
            if (self.allowed[:, s] & (tables != union)).any():
                gains.append(self._gain_by_kind(s, tables))
            else:
                gains.append(self._by_start(s, union))
        return gains

    def _gain_by_kind(self, s: int, tables: IntArray) -> cp_model.IntVar:
        earned = self.model.new_int_var(
            min(0, int(tables.min())), max(0, int(tables.max())), f"earned {s}"
        )
        self.model.add(earned == 0).only_enforce_if(~self.made[s])
        by_kind = [self._by_start(s, table) for table in tables]
        for (a, b), arc in self.arcs.items():
            if b == s:
                value = by_kind[self.problem.kind[a, b]]
                self.model.add(earned == value).only_enforce_if(arc)
        return earned

    def _by_start(self, s: int, table: IntArray) -> cp_model.IntVar:
        """Give the figure of a table at a shot's start, 0 for a shot left out."""
        if not table.any():
            return self.model.new_constant(0)
        figure = self.model.new_int_var_from_domain(
            cp_model.Domain.from_values(sorted({0, *table.tolist()})), f"figure of {s}"
        )
        self.model.add_element(self.start[s], [*table.tolist(), 0], figure)
        return figure

    def _pairs(self) -> list[cp_model.LinearExpr]:
        """Give the cost of each pair in its order, and forbid those that must not stand so."""
        problem, model = self.problem, self.model
        matters = (problem.pair_cost != 0) | problem.forbidden_pair
        apart = 1 - shared_slots(problem).astype(np.int64)
        costs: list[cp_model.LinearExpr] = []
        for a, b in np.argwhere(np.triu(matters | matters.T)).tolist():
            first = model.new_bool_var(f"{a} before {b}")
            both = (self.made[a], self.made[b])
            for x, y, order in ((a, b, first), (b, a, ~first)):
                follows = model.add(self.start[y] >= self.start[x] + int(apart[x, y]))
                follows.only_enforce_if(*both, order)
            model.add_implication(self.arcs[a, b], first)
            model.add_implication(self.arcs[b, a], ~first)
            for x, y, order in ((a, b, first), (b, a, ~first)):
                if problem.forbidden_pair[x, y]:
                    model.add_bool_or(~order, *(~made for made in both))
                elif problem.pair_cost[x, y]:
                    costly = model.new_bool_var(f"{x} costs {y}")
                    model.add_bool_or(costly, ~order, *(~made for made in both))
                    for literal in (order, *both):
                        model.add_implication(costly, literal)
                    costs.append(int(problem.pair_cost[x, y]) * costly)
        return costs

    def _drifts(self) -> list[cp_model.IntVar]:
        """Give what each matched shot's drift from its match's reference costs.

        While a reference is only known to lie in an interval, the least cost in it holds: halving
        intervals prove days that single references leave open for minutes.
        """
        problem, model = self.problem, self.model
        costs = []
        intervals = [self._references(group) for group in range(problem.match.max() + 1)]
        for s in np.flatnonzero(problem.match >= 0).tolist():
            starts = np.flatnonzero(self.allowed[:, s].any(axis=0)).tolist()
            at = {t: model.new_bool_var(f"{s} at {t}") for t in starts}
            for t, is_there in at.items():
                model.add(self.start[s] == t).only_enforce_if(is_there)
            model.add_exactly_one(*at.values(), ~self.made[s])
            cost = model.new_int_var(0, int(problem.drift[s].max()), f"drift {s}")
            for low, high, inside in intervals[problem.match[s]]:
                least = problem.drift[s, :, low:high].min(axis=1).tolist()
                floor = sum(least[t] * at[t] for t in starts)
                model.add(cost >= floor).only_enforce_if(inside)
            costs.append(cost)
        return costs

    def _references(self, group: int) -> list[tuple[int, int, cp_model.IntVar]]:
        """Give intervals of references and whether the group's lies in each, halved to single."""
        found: list[tuple[int, int, cp_model.IntVar]] = []

        def halve(low: int, high: int) -> cp_model.IntVar:
            inside = self.model.new_bool_var(f"reference {group} in {low} to {high}")
            found.append((low, high, inside))
            if high - low > 1:
                middle = (low + high) // 2
                self.model.add(halve(low, middle) + halve(middle, high) == inside)
            return inside

        self.model.add(halve(0, self.problem.drift.shape[2]) == 1)
        return found

    def _end(self) -> cp_model.IntVar:
        """Give the cost of the last finish, and let no day end without a meal that is due."""
        problem, model, n = self.problem, self.model, self.problem.shots
        end = model.new_int_var(
            min(0, int(problem.end_cost.min())), int(problem.end_cost.max()), "overtime"
        )
        for s in range(n):
            last = self.arcs[s, n]
            can_skip = np.flatnonzero(problem.can_skip_meal[s])
            if len(can_skip) < problem.slots:
                full = model.add_linear_expression_in_domain(
                    self.start[s], cp_model.Domain.from_values(can_skip.tolist())
                )
                full.only_enforce_if(last, *(~meal for meal in self.meal_before))
            costs = problem.end_cost[s]
            steps = np.diff(costs)
            if (np.diff(steps) >= 0).all():
                # Dearer and dearer, as overtime is: a few straight lines from below are exact.
                for slope in np.unique(steps).tolist() or [0]:
                    at = int(np.argmax(steps == slope)) if len(steps) else 0
                    line = int(costs[at]) + slope * (self.start[s] - at)
                    model.add(end >= line).only_enforce_if(last)
                continue
            model.add(end >= self._by_start(s, costs)).only_enforce_if(last)
        return end
