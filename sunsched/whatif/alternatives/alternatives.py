"""The best plans that differ from the best one, and from one another, in how a day is told.

A trait is what an assistant director would name (`traits`): what comes first, which spot comes
before which, what lies before the meal. The best plan with each trait is found by the solver; the
next alternative is the best of those with a trait that no plan given before it has. So each of
them stands for a decision, and its price is that of the decision.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from sunsched.average.plan import AveragePlan
from sunsched.plan.plan import Plan, describe_plan
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Counted
from sunsched.solver.solved import Solved
from sunsched.whatif.alternatives.best_first import Others
from sunsched.whatif.alternatives.differences import differences, distance_of
from sunsched.whatif.alternatives.distance import Distance
from sunsched.whatif.alternatives.traits import Trait


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """Another plan, what it loses against the best one, and in what it differs.

    Attributes
    ----------
    trait : what no plan given before has; of all plans with it this is the best that was found
    least_lost : points that every plan loses that has a trait which none before it has; as many
        as this one where that is proven
    distance : from the best plan
    on_average : of a plan for the average day, of which `plan` is the likely day's; points and
        light are expected then
    """

    plan: Plan
    trait: Trait
    points_lost: int
    least_lost: int
    light_lost: float
    differs: tuple[str, ...]
    distance: Distance
    on_average: AveragePlan | None = None

    @property
    def light_kept(self) -> float:
        """Share of all light, 0 to 1; on the average day the expected one."""
        return self.plan.light_kept if self.on_average is None else self.on_average.light_kept

    @property
    def is_proven(self) -> bool:
        """Whether no plan that differs so from all before it is worth more."""
        return self.least_lost == self.points_lost


def alternatives(
    solved: Solved,
    count: int,
    *,
    progress: Callable[[Counted], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> tuple[Alternative, ...]:
    """Find the best plans after the best one that an assistant director would call different.

    Parameters
    ----------
    solved : the day with its plan, of `solve_day`
    count : how many; fewer are given where the day has no more
    progress : called with the traits looked at and all of them
    is_ended : asked all along; when it says so, those found by then are given

    Returns
    -------
    tuple[Alternative, ...]
        The best first, each with what it loses in points, and in words what differs.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> found = sunsched.alternatives(solved, 2)
    >>> len(found), all(one.points_lost >= 0 for one in found)
    (2, True)
    """
    others = Others(solved, count)
    others.look_on(is_ended, progress)
    return tuple(_told(solved, others))


def _told(solved: Solved, others: Others) -> Iterator[Alternative]:
    """Describe the best plans that differ, each with what it loses."""
    best = solved.plan
    for trait, one, seen in others.picked():
        plan = describe_plan(solved.fit, one.timetable, best.bound, best.grid_min)
        yield Alternative(
            plan=plan,
            trait=trait,
            points_lost=best.points - plan.points,
            least_lost=best.points - max(others.bound(seen), plan.points),
            light_lost=best.light_kept - plan.light_kept,
            differs=tuple(differences(best, plan)),
            distance=distance_of(best, plan),
        )
