"""The day as a time-indexed mixed-integer programme for HiGHS.

A flow runs through the slots once without and once with the meal taken: it may wait at a shot,
start it, and leave it by the changeover to another. One row keeps a shot from being made twice. The
relaxation is tight (Sousa and Wolsey 1992) and large; matches would square it and are refused.
"""

from __future__ import annotations

from collections import defaultdict
from time import perf_counter

import highspy
import numpy as np

from oracles.answer import UNKNOWN, OracleAnswer, shared_slots
from sunsched.solver.instance.problem import FORBIDDEN, Problem

Node = tuple[str, int, int, int, int]


def best(problem: Problem, limit_s: float, workers: int = 2) -> OracleAnswer:
    """Ask HiGHS for the plan with the most points; finishing early is not asked of it.

    Raises
    ------
    ValueError
        For a day with matches, and when three shots may start in one slot.
    """
    if (problem.match >= 0).any():
        raise ValueError("matches are not modelled in the time-indexed programme")
    begun = perf_counter()
    flow = _Flow(problem)
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", workers)
    solver.setOptionValue("time_limit", max(1.0, limit_s - (perf_counter() - begun)))
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 0.99)  # points are whole
    solver.passModel(flow.programme())
    solver.run()
    status, info = solver.getModelStatus(), solver.getInfo()
    seconds = perf_counter() - begun
    if status == highspy.HighsModelStatus.kInfeasible:
        return OracleAnswer(points=None, bound=-UNKNOWN, is_proven=True, seconds=seconds)
    bound = UNKNOWN
    if abs(info.mip_dual_bound) < UNKNOWN:
        bound = int(np.floor(info.mip_dual_bound + 1e-4)) + problem.base
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return OracleAnswer(points=None, bound=bound, is_proven=False, seconds=seconds)
    sequence, starts, meal = flow.plan(np.array(solver.getSolution().col_value) > 0.5)
    return OracleAnswer(
        points=round(info.objective_function_value) + problem.base,
        bound=bound,
        is_proven=status == highspy.HighsModelStatus.kOptimal,
        sequence=sequence,
        starts=starts,
        meal=meal,
        seconds=seconds,
    )


class _Flow:
    """Columns and rows of the programme; a node is a place of the flow, an arc a column."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.worth: list[float] = []  # of each column
        self.ends: list[tuple[Node, Node]] = []  # of each arc; the order costs come after the arcs
        self.made: defaultdict[int, list[tuple[int, int]]] = defaultdict(list)  # column, slot
        self.rows: list[tuple[float, float, dict[int, float]]] = []
        self.nodes: defaultdict[Node, dict[int, float]] = defaultdict(dict)
        self._arcs()
        for node, columns in self.nodes.items():
            out = {"call": 1.0, "wrap": -1.0}.get(node[0], 0.0)
            self.rows.append((out, out, columns))
        for s in range(problem.shots):
            least = float(problem.must[s])
            self.rows.append((least, 1.0, {column: 1.0 for column, _ in self.made[s]}))
        self._orders()

    def _arc(self, tail: Node, head: Node, worth: float) -> int:
        column = len(self.worth)
        self.worth.append(worth)
        self.ends.append((tail, head))
        self.nodes[tail][column] = 1.0
        self.nodes[head][column] = -1.0
        return column

    def _arcs(self) -> None:
        problem, slots = self.problem, self.problem.slots
        kinds, n, _ = problem.gain.shape
        call: Node = ("call", n, 0, 0, 0)
        wrap: Node = ("wrap", 0, 0, 0, 0)
        self._leave(call, n, 0, 0)
        for s in range(n):
            for t in range(slots):
                for fed in (0, 1):
                    done: Node = ("done", s, t, fed, 0)
                    can_start = False
                    for kind in range(kinds):
                        ready: Node = ("ready", s, t, fed, kind)
                        if t + 1 < slots:
                            self._arc(ready, ("ready", s, t + 1, fed, kind), 0.0)
                        gain = int(problem.gain[kind, s, t])
                        if gain > FORBIDDEN:
                            can_start = True
                            self.made[s].append((self._arc(ready, done, gain), t))
                    if can_start:
                        self._leave(done, s, t, fed)
                        if fed or problem.can_skip_meal[s, t]:
                            self._arc(done, wrap, -float(problem.end_cost[s, t]))

    def _leave(self, node: Node, a: int, t: int, fed: int) -> None:
        """Add the changeovers from a shot to every other, with the meal between or not."""
        problem = self.problem
        for b in range(problem.shots):
            if b == a:
                continue
            kind, cost = int(problem.kind[a, b]), float(problem.arc_cost[a, b])
            then = t + int(problem.lag[a, b])
            if then < problem.slots:
                self._arc(node, ("ready", b, then, fed, kind), -cost)
            then = max(t + int(problem.lag_fed[a, b]), int(problem.fed_from[a, b]))
            if not fed and t <= problem.eat_by[a] and then < problem.slots:
                cost += float(problem.after_meal_cost[b])
                self._arc(node, ("ready", b, then, 1, kind), -cost)

    def _orders(self) -> None:
        """Charge or forbid a pair in its order: one started by a slot, the other after it."""
        problem, shared = self.problem, shared_slots(self.problem)
        for a, b in np.argwhere((problem.pair_cost != 0) | problem.forbidden_pair).tolist():
            charged: dict[int, float] = {}
            if not problem.forbidden_pair[a, b]:
                charged[len(self.worth)] = -1.0
                self.worth.append(-float(problem.pair_cost[a, b]))
            for t in range(problem.slots):
                later = t if shared[a, b] else t + 1
                row = charged | {column: 1.0 for column, u in self.made[a] if u <= t}
                row |= {column: 1.0 for column, u in self.made[b] if u >= later}
                self.rows.append((-highspy.kHighsInf, 1.0, row))

    def programme(self) -> highspy.HighsLp:
        """Give the programme as HiGHS takes it, row by row."""
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.worth), len(self.rows)
        lp.sense_ = highspy.ObjSense.kMaximize
        lp.col_cost_ = np.array(self.worth)
        lp.col_lower_, lp.col_upper_ = np.zeros(len(self.worth)), np.ones(len(self.worth))
        lp.integrality_ = [highspy.HighsVarType.kInteger] * len(self.worth)
        lp.row_lower_ = np.array([low for low, _, _ in self.rows])
        lp.row_upper_ = np.array([high for _, high, _ in self.rows])
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.cumsum([0, *(len(row) for _, _, row in self.rows)])
        lp.a_matrix_.index_ = np.array([column for _, _, row in self.rows for column in row])
        lp.a_matrix_.value_ = np.array(
            [factor for _, _, row in self.rows for factor in row.values()]
        )
        return lp

    def plan(self, chosen: np.ndarray) -> tuple[tuple[int, ...], tuple[int, ...], int]:
        """Follow the flow from the call to the wrap: sequence, starts and the meal's place."""
        onward = {
            tail: head for (tail, head), is_on in zip(self.ends, chosen, strict=False) if is_on
        }
        sequence: list[int] = []
        starts: list[int] = []
        meal, node = -1, ("call", self.problem.shots, 0, 0, 0)
        while node[0] != "wrap":
            follower = onward[node]
            if follower[0] == "ready" and follower[3] > node[3]:
                meal = len(sequence)
            if follower[0] == "done":
                sequence.append(follower[1])
                starts.append(follower[2])
            node = follower
        return tuple(sequence), tuple(starts), meal
