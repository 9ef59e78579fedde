"""Other plans for the average day that an assistant director would call different.

For each trait that the plan lacks on its likely day an order is looked for that has it: the plan's
own order and the best one for planned minutes are repaired to have it and improved while that wins.
What an order keeps on the average day is exact; that no other order with the trait keeps more is
not proven.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import partial

from sunsched.average.ground import Ground
from sunsched.average.model.rest import Rest, make_rest
from sunsched.average.plan import AveragePlan, plan_of_policy
from sunsched.day.demand import RollAfter, RollBefore
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Counted
from sunsched.solver.solved import Solved
from sunsched.whatif.alternatives.alternatives import Alternative
from sunsched.whatif.alternatives.differences import differences, distance_of
from sunsched.whatif.alternatives.traits import (
    Trait,
    TraitKind,
    differing,
    every_trait,
    leaders_of,
    traits_of_plan,
)
from sunsched.whatif.price_average.ground import (
    decide,
    order_from_policy,
    order_from_timetable,
)
from sunsched.whatif.price_average.look import improved

LANES = 2  # traits that are looked at at a time


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """A plan with its traits."""

    plan: AveragePlan
    traits: frozenset[Trait]

    @property
    def points(self) -> int:
        return self.plan.points


def average_alternatives(
    solved: Solved,
    best: AveragePlan,
    count: int,
    *,
    progress: Callable[[Counted], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> tuple[Alternative, ...]:
    """Look for plans for the average day that an assistant director would call different.

    Parameters
    ----------
    solved : the day, solved for planned minutes
    best : its plan for the average day, of `average_plan`
    count : how many; fewer are given where no more are found
    progress : called with the traits looked at and all of them
    is_ended : asked before each trait; when it says so, those found by then are given

    Returns
    -------
    tuple[Alternative, ...]
        The best first. `plan` is that of the likely day; points and light are expected.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> best = sunsched.average_plan(solved)
    >>> found = sunsched.average_alternatives(solved, best, 2)
    >>> len(found), all(one.on_average is not None for one in found)
    (2, True)
    """
    seen = traits_of_plan(best.likely)
    asked = [trait for trait in every_trait(solved.fit.day) if trait not in seen]
    known: dict[Trait, _Found] = {}
    with ThreadPoolExecutor(LANES) as lanes:
        looks = lanes.map(partial(_looked, solved, best, is_ended), asked)
        for done, plans in enumerate(looks):
            for one in plans:
                _keep(known, one)
            if progress is not None:
                progress(Counted(done=done + 1, whole=len(asked)))
    return tuple(_told(best, known, seen, count))


def _keep(known: dict[Trait, _Found], plan: AveragePlan) -> None:
    """Keep a plan for each of its traits that no better one is known with."""
    one = _Found(plan=plan, traits=traits_of_plan(plan.likely))
    for trait in one.traits:
        if trait not in known or known[trait].points < one.points:
            known[trait] = one


def _told(
    best: AveragePlan, known: dict[Trait, _Found], seen: frozenset[Trait], count: int
) -> Iterator[Alternative]:
    """Describe the best plans, each with a trait that none before it has."""
    most = best.points if best.bound is None else max(best.points, best.bound)
    for trait, found, _ in differing(known, seen, count):
        one = found.plan
        yield Alternative(
            plan=one.likely,
            trait=trait,
            points_lost=best.points - one.points,
            least_lost=min(best.points - one.points, best.points - most),
            light_lost=best.light_kept - one.light_kept,
            differs=tuple(differences(best.likely, one.likely)),
            distance=distance_of(best.likely, one.likely),
            on_average=one,
        )


def _looked(
    solved: Solved, best: AveragePlan, is_ended: Callable[[], bool], trait: Trait
) -> list[AveragePlan]:
    """Look for orders that have a trait, and give their plans as the day itself has them."""
    if is_ended():
        return []
    plain, plans = Ground(solved.fit, near=best.policy), []
    for ground, is_out in _grounds(solved, best, trait):
        starts = [
            order_from_policy(ground, best.policy),
            order_from_timetable(ground, solved.plan.timetable),
        ]
        if is_out:
            out = [shot.id for shot in ground.minute.shots].index(trait.subject)
            starts = [ground.ordered(one.order[one.order != out], one.references) for one in starts]
        found = improved(ground, starts)
        order = plain.ordered(found.order, found.references)
        plans.append(plan_of_policy(plain.policy(order), None))
    return plans


def _grounds(solved: Solved, best: AveragePlan, trait: Trait) -> Iterator[tuple[Ground, bool]]:
    """Pose the day so that its orders have a trait; say whether its shot is to be left out."""
    day, fit = solved.fit.day, solved.fit
    if trait.kind is TraitKind.LEFT_OUT:
        if day.shot(trait.subject).pin is None:
            yield Ground(fit, near=best.policy), True
    elif trait.kind is TraitKind.BEFORE_MEAL:
        demand = RollBefore(shot=trait.subject, time=day.meal.latest)
        yield decide(fit, (demand,), best.policy), False
    elif trait.kind is TraitKind.AFTER_MEAL:
        fed = day.meal.earliest + timedelta(minutes=day.meal.length_min)
        yield decide(fit, (RollAfter(shot=trait.subject, time=fed),), best.policy), False
    elif trait.kind is not TraitKind.MADE:
        leaders, others = leaders_of(day, trait)
        for one in leaders:
            yield _led(solved, best, one, others), False


def _led(solved: Solved, best: AveragePlan, shot: str, others: Iterable[str]) -> Ground:
    """Pose the day so that none of the others comes before a shot."""

    def pose(grid_min: int) -> Rest:
        rest = make_rest(solved.fit, grid_min, near=best.policy.rest)
        ids = [one.id for one in rest.shots]
        forbidden = rest.forbidden.copy()
        for other in others:
            if other != shot:
                forbidden[ids.index(other), ids.index(shot)] = True
        return replace(rest, forbidden=forbidden)

    return Ground(solved.fit, pose, best.policy)
