"""A plan whose proof was checked a second way."""

from __future__ import annotations

from collections.abc import Callable

from sunsched.day.model import Day
from sunsched.errors import SunschedError
from sunsched.folder.check import check_day
from sunsched.light.fit import fit_checked
from sunsched.plan.plan import Plan
from sunsched.solver.certificate.verify import verify
from sunsched.solver.search.progress import Progress
from sunsched.solver.solve import plan_of, solve_possible


def certified_plan(
    day: Day,
    *,
    grid_min: int = 5,
    limit_s: float | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> Plan:
    """Find the plan as `make_plan` does, and have its proof checked by `verify`, which is slow.

    Raises
    ------
    SunschedError
        When the plan is not proven, or the checker refuses the proof.
    DayImpossible, Undecided
        As `make_plan` does.
    """
    check_day(day, grid_min=grid_min)
    fit = fit_checked(day)
    problem, answer = solve_possible(
        fit, grid_min, limit_s=limit_s, progress=progress, with_certificate=True
    )
    plan = plan_of(fit, problem, answer)
    if answer.certificate is None:
        raise SunschedError(f"no proof to check: none keeps more than {plan.bound} points")
    wrong = verify(problem, answer.certificate)
    if wrong is not None:
        raise SunschedError(f"the proof does not hold: {wrong}")
    return plan
