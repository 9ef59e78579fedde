"""The plan for the average day: the order with its likely times, its chances and its bound."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime

import numpy as np

from sunsched.average.beside import Beside
from sunsched.average.ground import Ground, best_references
from sunsched.average.likely import likely_timetable
from sunsched.average.order.forecast import Chance, Policy, forecast, light_share
from sunsched.average.risk import Risk, risks
from sunsched.average.solve import on_average
from sunsched.day.model import Day, Span
from sunsched.plan.outlook import Outlook, Prospect
from sunsched.plan.plan import LeftOut, Plan, describe_plan
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable
from sunsched.solver.answer import timetable_of
from sunsched.solver.instance.tables import LOST, make_tables
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.solved import Solved
from sunsched.solver.timing.references import set_references
from sunsched.solver.timing.sequence import best_times

HARDLY = 0.05  # the chance below which nobody counts on a shot
ROUNDS = 5  # of times for references, and references for those times


@dataclass(frozen=True, slots=True, kw_only=True)
class AsPlanned:
    """What a timetable keeps if every minute holds: points, and the share of all light."""

    points: int
    light_kept: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BestPlanned:
    """What the best plan for planned minutes keeps if every minute holds."""

    points: int
    bound: int
    light_kept: float

    @property
    def is_proven(self) -> bool:
        """Whether no order is worth more."""
        return self.points == self.bound


@dataclass(frozen=True, slots=True, kw_only=True)
class AveragePlan:
    """An order for the average day.

    Attributes
    ----------
    likely : the plan of its likely day, on which all work takes its median minutes, with its
        outlook
    chances : of each shot still to come, in order
    points, bound : expected points, and what no way of shooting the day is worth more than; the
        bound is None where there was no time for one
    light_kept : expected share of all light, 0 to 1
    as_planned : of the same order if every minute holds; None where it cannot be made so
    best_planned : of the best plan for planned minutes; None where that is not known
    """

    likely: Plan
    chances: tuple[Chance, ...]
    points: int
    bound: int | None
    light_kept: float
    as_planned: AsPlanned | None
    best_planned: BestPlanned | None
    policy: Policy = field(compare=False)
    _risks: list[tuple[Risk, ...]] = field(init=False, default_factory=list, compare=False)

    @property
    def day(self) -> Day:
        """The day as it is asked, planned minutes and all."""
        return self.policy.rest.fit.day

    @property
    def ids(self) -> tuple[str, ...]:
        """Shots that are over and made, then all others of the order, likely or not."""
        made = () if self.day.past is None else self.day.past.made
        return (*(one.shot_id for one in made), *self.policy.ids)

    @property
    def risks(self) -> tuple[Risk, ...]:
        """Shots of a large weight that are often not made, and what would help; looked for once."""
        if not self._risks:
            self._risks.append(risks(self.policy))
        return self._risks[0]

    @property
    def gap(self) -> float | None:
        """Give what the bound has over the points, as a share of them."""
        return None if self.likely.outlook is None else self.likely.outlook.gap


def average_plan(
    solved: Solved,
    *,
    beside: Beside | None = None,
    limit_s: float | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> AveragePlan:
    """Look for the order that is worth most on the average day, and bound any way of shooting it.

    Parameters
    ----------
    solved : the day, solved for planned minutes
    beside : the bound, where it is looked for already
    limit_s : seconds for the search and its bound; None for a fixed amount of work
    is_ended : asked now and then; the search ends when it says so

    Returns
    -------
    AveragePlan
        The order with its likely times, its chances and its bound.

    Examples
    --------
    >>> import sunsched
    >>> found = sunsched.average_plan(sunsched.solve_day(sunsched.example_day()))
    >>> found.points <= found.bound
    True
    """
    ground = Ground(solved.fit) if beside is None else beside.ground
    bound = None if beside is None else beside.bound
    planned = solved.plan.timetable
    found = on_average(ground, planned, bound=bound, limit_s=limit_s, is_ended=is_ended)
    policy, best = found.policy, solved.plan
    _, likely = likely_timetable(policy)
    return plan_of_policy(
        policy,
        None if np.isinf(found.bound) else int(np.ceil(found.bound)),
        as_planned=_as_planned(solved, policy, likely),
        best_planned=BestPlanned(points=best.points, bound=best.bound, light_kept=best.light_kept),
    )


def plan_of_policy(
    policy: Policy,
    bound: int | None,
    *,
    as_planned: AsPlanned | None = None,
    best_planned: BestPlanned | None = None,
) -> AveragePlan:
    """Tell an order with the best way to follow it as a plan.

    Parameters
    ----------
    bound : points that no way of shooting is worth more than; None where none is known
    """
    return AveragePlan(
        likely=likely_plan(policy, bound),
        chances=forecast(policy),
        points=round(policy.worth),
        bound=bound,
        light_kept=light_share(policy),
        as_planned=as_planned,
        best_planned=best_planned,
        policy=policy,
    )


def likely_plan(policy: Policy, bound: int | None) -> Plan:
    """Tell an order as the plan of its likely day, with its outlook; much quicker than its risks.

    Parameters
    ----------
    bound : points that no way of shooting is worth more than; None where none is known
    """
    fit, timetable = likely_timetable(policy)
    chances, points = forecast(policy), round(policy.worth)
    outlook = Outlook(
        points=points,
        bound=bound,
        light_kept=light_share(policy),
        prospects=tuple(_prospect(policy, one) for one in chances),
    )
    # Whether a better one exists is not said of the likely day.
    likely = describe_plan(fit, timetable, None, grid_min=1)
    left_out = tuple(replace(one, why=_why_left_out(outlook, one)) for one in likely.left_out)
    return replace(likely, left_out=left_out, outlook=outlook)


def counted_ids(policy: Policy) -> tuple[str, ...]:
    """Give the shots that are made, then those of the order that are made on some of the days."""
    past = policy.rest.fit.day.past
    made = () if past is None else past.made
    coming = (one.shot.id for one in forecast(policy) if one.made >= HARDLY)
    return (*(one.shot_id for one in made), *coming)


def _why_left_out(outlook: Outlook, left: LeftOut) -> str:
    """Say of a shot that stands in the order how often it is made all the same."""
    prospect = outlook.of(left.shot.id)
    if prospect is None:
        return left.why
    if prospect.made < HARDLY:
        return "hardly ever made in this order"
    return f"not made on the likely day; made on {prospect.made:.0%} of the days"


def _prospect(policy: Policy, one: Chance) -> Prospect:
    fit = policy.rest.fit

    def moment(minute: int | None) -> datetime | None:
        return None if minute is None else fit.time_of(minute)

    rolls = None
    if one.roll_min is not None:
        rolls = Span(start=fit.time_of(one.roll_min[0]), end=fit.time_of(one.roll_min[2]))
    return Prospect(
        shot_id=one.shot.id,
        made=one.made,
        half=one.half,
        light=one.light,
        on_pin=one.on_pin,
        rolls=rolls,
        not_before=moment(one.not_before_min),
        begin_by=moment(one.begin_by_min),
    )


def _as_planned(solved: Solved, policy: Policy, likely: Timetable) -> AsPlanned | None:
    """Time what is made on some days; where not all of it fits, what the likely day makes."""
    made = tuple(roll.shot_id for roll in likely.rolls)
    found = _timed(solved, policy, counted_ids(policy))
    return _timed(solved, policy, made) if found is None else found


def _timed(solved: Solved, policy: Policy, shot_ids: tuple[str, ...]) -> AsPlanned | None:
    """Time shots in their order as well as planned minutes allow."""
    fit, problem = solved.fit, solved.problem
    ids = list(problem.ids)
    sequence = np.array([ids.index(one) for one in shot_ids], dtype=np.int64)
    if not len(sequence):
        return None
    tables, best = make_tables(problem), None
    references = policy.references
    for _ in range(ROUNDS):
        matched = tables._replace(gain=tables.gain.copy())
        set_references(matched.gain, tables.gain, problem.drift, problem.match, references)
        value, starts, meal = best_times(matched, sequence, len(sequence))
        if value < LOST:
            return None
        timed = replace(solved.answer, sequence=sequence, starts=starts, meal=int(meal))
        timetable = timetable_of(fit, problem, timed)
        worth = score(fit, timetable)
        if best is not None and worth.total <= best.points:
            break
        kept = sum(worth.light.values()) / (1000.0 * sum(shot.weight for shot in fit.day.shots))
        best = AsPlanned(points=worth.total, light_kept=kept)
        references = best_references(fit, policy.drifts, timetable)
    return best
