"""The plan for the average day: the order with its likely times, its chances and its bound."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from sunsched.average.likely import likely_timetable
from sunsched.average.order.forecast import Chance, Policy, forecast, light_share
from sunsched.average.risk import Risk, risks
from sunsched.average.solve import best_references, on_average
from sunsched.plan.plan import Plan, describe_plan
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable
from sunsched.solver.instance.tables import LOST, make_tables
from sunsched.solver.solve import timetable_of
from sunsched.solver.solved import Solved
from sunsched.solver.timing.references import set_references
from sunsched.solver.timing.sequence import best_times

ROUNDS = 5  # of times for references, and references for those times


@dataclass(frozen=True, slots=True, kw_only=True)
class AsPlanned:
    """What a timetable keeps if every minute holds: points, and the share of all light."""

    points: int
    light_kept: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AveragePlan:
    """An order for the average day.

    Attributes
    ----------
    likely : the plan of its likely day, on which all work takes its median minutes
    chances : of each shot still to come, in order
    points, bound : expected points, and what no way of shooting the day is worth more than; the
        bound is None where there was no time for one
    light_kept : expected share of all light, 0 to 1
    as_planned : of the same order if every minute holds; None where it cannot be made so
    best_planned : the best plan for planned minutes
    risks : shots of a large weight that are often not made, and what would help
    """

    likely: Plan
    chances: tuple[Chance, ...]
    points: int
    bound: int | None
    light_kept: float
    as_planned: AsPlanned | None
    best_planned: Plan | None
    risks: tuple[Risk, ...]
    policy: Policy = field(compare=False)

    @property
    def gap(self) -> float | None:
        """Give what the bound has over the points, as a share of them."""
        if self.bound is None:
            return None
        return (self.bound - self.points) / max(1, abs(self.points))


def average_plan(solved: Solved, *, limit_s: float | None = None) -> AveragePlan:
    """Look for the order that is worth most on the average day, and bound any way of shooting it.

    Parameters
    ----------
    solved : the day, solved for planned minutes
    limit_s : seconds for the search and its bound; None for a fixed amount of work

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
    found = on_average(solved.fit, solved.plan.timetable, limit_s=limit_s)
    policy, best = found.policy, solved.plan
    return plan_of_policy(
        policy,
        None if np.isinf(found.bound) else int(np.ceil(found.bound)),
        as_planned=_as_planned(solved, policy, likely_timetable(policy)[1]),
        best_planned=best,
    )


def plan_of_policy(
    policy: Policy,
    bound: int | None,
    *,
    as_planned: AsPlanned | None = None,
    best_planned: Plan | None = None,
) -> AveragePlan:
    """Tell an order with the best way to follow it as a plan."""
    likely_fit, timetable = likely_timetable(policy)
    worth = score(likely_fit, timetable).total
    return AveragePlan(
        # One point more than it has: whether a better one exists is not said of the likely day.
        likely=describe_plan(likely_fit, timetable, worth + 1, grid_min=1),
        chances=forecast(policy),
        points=round(policy.worth),
        bound=bound,
        light_kept=light_share(policy),
        as_planned=as_planned,
        best_planned=best_planned,
        risks=risks(policy),
        policy=policy,
    )


def _as_planned(solved: Solved, policy: Policy, likely: Timetable) -> AsPlanned | None:
    """Time the shots of the likely day as well as planned minutes allow."""
    fit, problem = solved.fit, solved.problem
    ids = list(problem.ids)
    sequence = np.array([ids.index(roll.shot_id) for roll in likely.rolls], dtype=np.int64)
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
