"""What an earlier or later wrap keeps of the light: the trade between light and hours."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta

from sunsched.day.decided import decided_day
from sunsched.day.demand import WrapAt
from sunsched.day.model import Day
from sunsched.errors import Undecided
from sunsched.light.fit import fit_checked
from sunsched.plan.plan import Plan
from sunsched.plan.timetable import roll_end
from sunsched.solver.build import make_problem
from sunsched.solver.conflict import LONGEST
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Counted
from sunsched.solver.solve import plan_of
from sunsched.solver.solved import Solved, short_answer
from sunsched.whatif.price.moments import each_moment
from sunsched.whatif.starts import is_shut

BEFORE = timedelta(hours=4)  # how far the curve reaches to the left of the day's wrap
PAST = timedelta(hours=1)  # and to the right of its hard wrap
LOOKS = 1000  # how often a solve looks at its best plan and bound before it ends


@dataclass(frozen=True, slots=True, kw_only=True)
class WrapPoint:
    """The best day that has wrapped by a moment, overtime not counted as a cost.

    `overtime_min` is how long its last roll runs past the day's own wrap, `overtime_points` what
    the day charges for that.
    """

    wrap: datetime
    plan: Plan
    overtime_min: int
    overtime_points: int

    @property
    def light_kept(self) -> float:
        """Give the share of all light that the day keeps."""
        return self.plan.light_kept


def wrap_curve(
    solved: Solved,
    *,
    step_min: int = 15,
    progress: Callable[[Counted], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> tuple[WrapPoint, ...]:
    """Find the best plan for each wrap, from 4 hours before the day's to 1 hour past its hard one.

    Wraps for which no plan is found, as nothing can be made by then, are not among them. Of a day
    under way, they begin when the crew is free, and what is made already is in every plan.

    Parameters
    ----------
    solved : the day with its plan, of `solve_day`
    step_min : minutes between two wraps, on the local clock
    progress : called with the wraps done and all wraps
    is_ended : asked all along; when it says so, the later wraps are left out

    Returns
    -------
    tuple[WrapPoint, ...]
        The best day for each wrap, the earliest first.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> curve = sunsched.wrap_curve(solved, step_min=120)
    >>> all(one.plan.points <= other.plan.points for one, other in zip(curve, curve[1:]))
    True
    """
    wraps = wraps_of(solved.fit.day, step_min)
    looked_at = (
        _wrap_point(solved, wrap, is_ended) for wrap in each_moment(wraps, progress, is_ended)
    )
    return tuple(point for point in looked_at if point is not None)


def wraps_of(day: Day, step_min: int) -> list[datetime]:
    """List the wraps of a curve, on full steps of the local clock."""
    local = day.hours.wrap.astimezone(day.place.zone)
    begins = day.hours.first_roll if day.past is None else day.past.free_at
    first = max(day.hours.wrap - BEFORE, begins)
    last = min(day.hours.hard_wrap + PAST, day.hours.crew_call + LONGEST)
    step = timedelta(minutes=step_min)
    middle = day.hours.wrap - timedelta(minutes=(local.hour * 60 + local.minute) % step_min)
    wraps = [middle + k * step for k in range(-(BEFORE // step) - 1, LONGEST // step)]
    return [wrap for wrap in wraps if first <= wrap <= last]


def _wrap_point(solved: Solved, wrap: datetime, is_ended: Callable[[], bool]) -> WrapPoint | None:
    day = solved.fit.day
    fit = fit_checked(decided_day(day, (WrapAt(time=wrap),)))
    problem = make_problem(fit, solved.problem.grid_min)
    answer = None
    if not is_shut(problem):
        with suppress(Undecided):
            answer = short_answer(solved, problem, looks=LOOKS, is_ended=is_ended)
    if answer is None:
        return None
    plan = plan_of(fit, problem, answer)
    if not plan.timetable.rolls:
        return None
    over = max(roll_end(day, roll) for roll in plan.timetable.rolls) - day.hours.wrap
    overtime_min = max(0, round(over / timedelta(minutes=1)))
    return WrapPoint(
        wrap=wrap,
        plan=plan,
        overtime_min=overtime_min,
        overtime_points=day.costs.overtime * overtime_min,
    )
