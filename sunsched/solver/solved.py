"""A solved day, and short solves of days like it: what every price is found with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sunsched.day.model import Day
from sunsched.folder.check import check_day
from sunsched.light.fit import DayFit, fit_checked
from sunsched.plan.plan import Plan
from sunsched.solver.answer import Answer
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.budget import WORK, Stopped
from sunsched.solver.search.progress import Progress
from sunsched.solver.solve import plan_of, solve, solve_possible

LIMIT_S = 5.0  # ends a short solve that finds no plan, and so never looks at one


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """A day with its best plan, and what the solver learnt from it for days like it."""

    fit: DayFit
    problem: Problem
    answer: Answer
    plan: Plan

    @property
    def points(self) -> int:
        """What the answer is worth in its problem."""
        return whole_points(self.problem, self.answer.value)


def solve_day(
    day: Day,
    *,
    grid_min: int = 5,
    limit_s: float | None = None,
    work: int = WORK,
    progress: Callable[[Progress], None] | None = None,
) -> Solved:
    """Find the best plan of a day and keep what the solver learnt.

    Parameters
    ----------
    day : read, or made by hand
    grid_min, limit_s, progress : as for `make_plan`
    work : steps after which a plan that was found is enough, proven or not

    Returns
    -------
    Solved
        The day with its best plan, to be priced.

    Raises
    ------
    DayImpossible, Undecided
        As `make_plan` does.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> solved.plan.status
    'proven'
    """
    check_day(day, grid_min=grid_min)
    fit = fit_checked(day)
    problem, answer = solve_possible(fit, grid_min, limit_s=limit_s, work=work, progress=progress)
    return Solved(fit=fit, problem=problem, answer=answer, plan=plan_of(fit, problem, answer))


def short_answer(
    solved: Solved,
    problem: Problem,
    *,
    looks: int,
    floor: int | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> Answer | None:
    """Solve a problem like a solved one with little work; None when it is proven to have no plan.

    The work is counted, not timed, so that every machine gives the same answer.

    Parameters
    ----------
    looks : how often the best plan and its bound may be looked at
    floor : points; once no plan is worth as many, the solve ends
    is_ended : asked at each look; the solve ends when it says so

    Raises
    ------
    Undecided
        When no plan is found, and it is not proven that there is none.
    """
    looked = 0

    def look(now: Progress) -> None:
        nonlocal looked
        looked += 1
        if looked > looks or is_ended() or (floor is not None and now.bound < floor):
            raise Stopped

    return solve(problem, near=solved.answer, limit_s=LIMIT_S, progress=look)
