"""What an outside solver says of a problem, checked, and how to ask one that may hang.

General solvers know their time limits only softly and have had wrong proofs, so each is asked in a
child process that can be killed, and its plan is worth what the tables say, not what it claims.
"""

from __future__ import annotations

import importlib
import multiprocessing
from dataclasses import dataclass, replace
from itertools import combinations
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from types import ModuleType

import numpy as np
import numpy.typing as npt

from sunsched.solver.instance.problem import FORBIDDEN, Problem

UNKNOWN = 10**9  # the bound of an oracle that found none
GRACE_S = 30.0  # on top of a limit: start-up, model building and how softly limits are kept


@dataclass(frozen=True, slots=True, kw_only=True)
class OracleAnswer:
    """An outside solver's best plan and bound, in points.

    Attributes
    ----------
    points : worth of its plan; None without one
    bound : no plan is worth more; `UNKNOWN` if it has none
    is_proven : whether it claims to have finished: its plan is the best, or there is none
    sequence : shots by index in shooting order
    starts : the slot of each
    meal : place in the sequence of the shot that the meal precedes, −1 for no meal
    """

    points: int | None
    bound: int
    is_proven: bool
    sequence: tuple[int, ...] = ()
    starts: tuple[int, ...] = ()
    meal: int = -1
    seconds: float


def in_child(
    module: ModuleType, problem: Problem, limit_s: float, workers: int = 2
) -> OracleAnswer:
    """Ask an oracle in a child process, killed if it outstays its limit, and check its plan.

    Parameters
    ----------
    module : one with `best(problem, limit_s, workers)`

    Raises
    ------
    ValueError
        When the oracle cannot model the problem, or its plan is not worth what it says.
    """
    pipe = _child.ask((module.__name__, problem, limit_s, workers))
    answer = None
    try:
        if pipe.poll(limit_s + GRACE_S):
            answer = pipe.recv()
    except EOFError:  # it crashed
        pass
    if answer is None:
        _child.kill()
        return OracleAnswer(points=None, bound=UNKNOWN, is_proven=False, seconds=limit_s)
    if isinstance(answer, Exception):
        raise answer
    checked: OracleAnswer = answer
    if checked.points is None:
        return checked
    points = worth(problem, checked.sequence, checked.starts, checked.meal)
    # A plan that is not yet proven may stand beside a reference that is not the best for it.
    if points is None or points < checked.points or (checked.is_proven and points > checked.points):
        raise ValueError(
            f"the plan of {module.__name__} is worth {points}, not as it says: {answer}"
        )
    return replace(checked, points=points)


def worth(
    problem: Problem, sequence: tuple[int, ...], starts: tuple[int, ...], meal: int
) -> int | None:
    """Add up a plan's points from the tables alone; None for no plan and one that breaks a rule."""
    if not sequence or len(set(sequence)) < len(sequence):
        return None
    if not set(np.flatnonzero(problem.must).tolist()).issubset(sequence):
        return None
    total, before, now = problem.base, problem.shots, 0
    for place, (b, t) in enumerate(zip(sequence, starts, strict=True)):
        earliest = now + int(problem.lag[before, b])
        if place == meal:
            if now > problem.eat_by[before]:
                return None
            earliest = max(now + int(problem.lag_fed[before, b]), int(problem.fed_from[before, b]))
            total -= int(problem.after_meal_cost[b])
        gain = int(problem.gain[problem.kind[before, b], b, t])
        if t < earliest or gain <= FORBIDDEN:
            return None
        total += gain - int(problem.arc_cost[before, b])
        before, now = b, t
    if meal < 0 and not problem.can_skip_meal[before, now]:
        return None
    for a, b in combinations(sequence, 2):
        if problem.forbidden_pair[a, b]:
            return None
        total -= int(problem.pair_cost[a, b])
    for group in range(int(problem.match.max()) + 1):
        rows = [
            problem.drift[s, t].astype(np.int64)
            for s, t in zip(sequence, starts, strict=True)
            if problem.match[s] == group
        ]
        total -= int(np.sum(rows, axis=0).min()) if rows else 0
    return total - int(problem.end_cost[before, now])


def shared_slots(problem: Problem) -> npt.NDArray[np.bool_]:
    """Mark the pairs (n, n) whose second may start in the slot of the first: an odd pin can do it.

    Raises
    ------
    ValueError
        When three shots may, for then their order cannot be told from their starts.
    """
    shared: npt.NDArray[np.bool_] = problem.lag[:-1] == 0
    np.fill_diagonal(shared, val=False)
    if (shared @ shared).any():
        raise ValueError("three shots may start in one slot")
    return shared


def finish_min(problem: Problem, sequence: tuple[int, ...], starts: tuple[int, ...]) -> int:
    """Give the minute after the origin at which a plan's last roll ends."""
    last = sequence[-1]
    return int(problem.start_minute(last, starts[-1]) - problem.origin + problem.roll_min[last])


class _Child:
    """One process that answers question after question: starting one for each takes seconds."""

    def __init__(self) -> None:
        self.process: SpawnProcess | None = None
        self.pipe: Connection | None = None

    def ask(self, question: tuple[str, Problem, float, int]) -> Connection:
        """Send a question, to a new process if there is none, and give the pipe to listen to."""
        if self.process is None or self.pipe is None:
            context = multiprocessing.get_context("spawn")
            self.pipe, far_end = context.Pipe()
            self.process = context.Process(target=_serve, args=(far_end,), daemon=True)
            self.process.start()
            far_end.close()
        self.pipe.send(question)
        return self.pipe

    def kill(self) -> None:
        """End the process, whatever it is doing."""
        if self.process is not None and self.pipe is not None:
            self.process.kill()
            self.process.join()
            self.pipe.close()
        self.process = self.pipe = None


def _serve(pipe: Connection) -> None:
    while True:
        try:
            name, problem, limit_s, workers = pipe.recv()
        except EOFError:  # the parent is gone
            return
        try:
            pipe.send(importlib.import_module(name).best(problem, limit_s, workers))
        except Exception as error:  # noqa: BLE001  whatever it is, the parent raises it
            pipe.send(error)


_child = _Child()
