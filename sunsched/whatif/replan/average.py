"""The rest of a day planned anew for the average day, with choices to argue.

What is made is certain; chance begins at the moment of planning.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import partial
from math import ceil, isinf
from time import monotonic

from sunsched.average.likely import likely_timetable
from sunsched.average.near import Near, near_order, turned
from sunsched.average.order.forecast import Policy
from sunsched.average.plan import AveragePlan, BestPlanned, plan_of_policy
from sunsched.average.solve import policy_of
from sunsched.day.model import Day, Shot
from sunsched.errors import DayImpossible
from sunsched.folder.log.event import Event
from sunsched.light.fit import fit_checked
from sunsched.plan.crew import Crew, crew_figures
from sunsched.plan.plan import Plan
from sunsched.plan.timetable import Timetable
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Progress
from sunsched.whatif.replan.changes import change_texts, comebacks
from sunsched.whatif.replan.replan import Replan, replan
from sunsched.whatif.replan.shifts import Shift, lost_shifts

TOLD_FROM = timedelta(minutes=5)  # likely times are not known to the minute
LEAST_S = 0.1  # what the search for the average day gets of a limit at least


@dataclass(frozen=True, slots=True, kw_only=True)
class AverageChoice:
    """One way to go on, followed as is best.

    `plan` is of the whole day, what is made included; `crew` counts its likely day. `turned` counts
    the pairs of shots still to come that it has the other way round than the order that was
    followed, and `turned_points` is what they cost beside the plan's points. `dropped` is the shot
    that it drops from the push.
    """

    plan: AveragePlan
    crew: Crew
    turned: int
    turned_points: int
    dropped: Shot | None = None

    @property
    def worth(self) -> int:
        """Give the points of the plan, less those for the pairs turned round."""
        return self.plan.points - self.turned_points


@dataclass(frozen=True, slots=True, kw_only=True)
class AverageReplan:
    """The rest of a day at a moment, for the average day.

    Attributes
    ----------
    planned : the same rest for planned minutes, with its own choices
    followed : the best way to follow the order that was followed, on the day that it was made for
    best : the order of the rest that is worth most, pairs turned round paid; the push where none is
        worth more. To keep a pin on more days goes before points
    push : the order that was followed
    drop_one : the push without the one shot whose leaving out is worth most; None where none can go
    collision : which rules collide if every minute holds, so that `planned` is without pins; empty
        where none do
    """

    planned: Replan
    followed: Policy = field(compare=False)
    best: AverageChoice
    push: AverageChoice
    drop_one: AverageChoice | None
    collision: str = ""

    @property
    def day(self) -> Day:
        """The day with its past."""
        return self.best.plan.day

    @property
    def at(self) -> datetime:
        """The moment of planning."""
        return self.planned.past.at

    def later_min(self, choice: AverageChoice) -> int | None:
        """Give how many minutes later than it was likely to the last roll is likely to end."""
        fit, timetable = likely_timetable(self.followed)
        was, ends = crew_figures(fit.day, timetable).wrap, choice.crew.wrap
        return None if was is None or ends is None else round((ends - was) / timedelta(minutes=1))

    def changes(self, choice: AverageChoice) -> tuple[str, ...]:
        """Say what a choice changes of the followed order, likely day against likely day."""
        fit, timetable = likely_timetable(self.followed)
        return change_texts(fit.day, timetable, choice.plan.likely, least=TOLD_FROM)

    def comebacks(self, choice: AverageChoice) -> tuple[str, ...]:
        """Give the ids of shots that a choice makes on its likely day, and the followed did not."""
        fit, timetable = likely_timetable(self.followed)
        return comebacks(fit.day, timetable, choice.plan.likely)

    def lost(self, choice: AverageChoice) -> tuple[Shift, ...]:
        """Say which shots have less of a chance, or of their light, than they had; most first."""
        return lost_shifts(self.followed, choice.plan)


def replan_average(
    day: Day,
    events: Sequence[Event],
    planned: Timetable,
    *,
    at: datetime,
    late_min: int = 0,
    planned_day: Day | None = None,
    followed: Policy | None = None,
    grid_min: int = 5,
    limit_s: float | None = None,
    progress: Callable[[Progress], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> AverageReplan:
    """Plan the rest of a day anew for the average day: what is made stays, chance begins now.

    Parameters
    ----------
    day, events, planned, at, late_min, planned_day : as for `replan`
    followed : the order that was followed on the day that it was made for, such as the policy of
        an `AveragePlan`; None for that of `planned`
    grid_min, progress : of the best rest for planned minutes, from which the search starts too
    limit_s : seconds for all of it; None for a fixed amount of work
    is_ended : asked now and then; the search for the average day ends when it says so

    Returns
    -------
    AverageReplan
        The best order of the rest, the same order followed on, and one shot dropped.

    Raises
    ------
    FolderError
        When an event contradicts the day, or `at` is before the last one.
    DayImpossible
        When no plan of the rest obeys the rules by planned minutes, not even without pins; the text
        says which collide.
    Undecided
        When there was not the time to find a plan, or to prove that there is none.

    Examples
    --------
    >>> import sunsched
    >>> from datetime import timedelta
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> planned, at = solved.plan.timetable, solved.plan.shots[0].roll_start
    >>> late = sunsched.replan_average(solved.fit.day, (), planned, at=at, late_min=30)
    >>> late.best.worth >= late.push.worth
    True
    """
    started = monotonic()
    collision, rest_of = (
        "",
        partial(
            replan,
            events=events,
            planned=planned,
            at=at,
            late_min=late_min,
            planned_day=planned_day or day,
            grid_min=grid_min,
            limit_s=limit_s,
            progress=progress,
        ),
    )
    try:
        exact = rest_of(day)
        fit = exact.fit
    except DayImpossible as error:
        # A pin that cannot be kept is late on the average day, and no reason to have no plan.
        head, *rules = (line.strip() for line in str(error).splitlines())
        collision = f"{head} {'; '.join(rules)}".strip()
        try:
            exact = rest_of(_without_pins(day))
        except DayImpossible:
            raise error from None
        fit = fit_checked(_with_pins(exact.day, day))
    if followed is None:
        followed = policy_of(fit_checked(exact.planned_day), exact.planned)
    left_s = None if limit_s is None else max(LEAST_S, limit_s - (monotonic() - started))
    start = exact.best.plan.timetable
    found = near_order(fit, followed, start, limit_s=left_s, is_ended=is_ended)
    best, push, less = _choices(None if collision else exact.best.plan, exact.day, found)
    return AverageReplan(
        planned=exact,
        followed=followed,
        best=best,
        push=push,
        drop_one=less,
        collision=collision,
    )


def _without_pins(day: Day) -> Day:
    return replace(day, shots=tuple(replace(shot, pin=None) for shot in day.shots))


def _with_pins(day: Day, asked: Day) -> Day:
    """Give a day the pins that it was asked with, of shots that are still to come."""
    pins = {shot.id: shot.pin for shot in asked.shots if shot.id not in day.over_ids}
    shots = tuple(replace(shot, pin=pins.get(shot.id, shot.pin)) for shot in day.shots)
    return replace(day, shots=shots)


def _choices(
    own: Plan | None, day: Day, found: Near
) -> tuple[AverageChoice, AverageChoice, AverageChoice | None]:
    """Tell each way as a choice; one bound for all of them, as it is for any way of shooting."""
    policies = [found.best, found.kept, *([] if found.less is None else [found.less[1]])]
    bound = None
    if not isinf(found.bound):
        bound = ceil(max(found.bound, *(one.worth for one in policies)))
    place = {shot_id: k for k, shot_id in enumerate(found.kept.ids)}
    cost, planned = day.costs.turned_round, None
    if own is not None:
        planned = BestPlanned(points=own.points, bound=own.bound, light_kept=own.light_kept)

    def choice(policy: Policy, dropped: Shot | None = None) -> AverageChoice:
        plan = plan_of_policy(policy, bound, best_planned=planned)
        count = turned([place.get(one, -1) for one in policy.ids])
        return AverageChoice(
            plan=plan,
            crew=crew_figures(plan.likely.day, plan.likely.timetable),
            turned=count,
            turned_points=cost * count,
            dropped=dropped,
        )

    push = choice(found.kept)
    best = push if found.best is found.kept else choice(found.best)
    return best, push, None if found.less is None else choice(found.less[1], found.less[0])
