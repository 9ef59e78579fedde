"""From a day to the order that is worth most on the average day, with a bound on any other way."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import datetime
from math import inf
from threading import Event
from time import monotonic

import numpy as np

from sunsched.average.bound.boxes import bound_any
from sunsched.average.model.drift import Drifts, make_drifts
from sunsched.average.model.rest import Rest, make_rest
from sunsched.average.order.forecast import Policy, light_share, make_policy
from sunsched.average.order.search import Ordered, Scratch, search, with_best_references
from sunsched.day.model import Day
from sunsched.light.fit import DayFit, IntArray
from sunsched.plan.score import drift_costs
from sunsched.plan.timetable import Timetable

ROUGH_MIN, COARSE_MIN = 10, 5  # minutes of a slot, of the search and of its last steps
ROUNDS, MOST_ROUNDS = 30, 60  # of the search on rough slots for 16 shots, and for few
BEST = 3  # orders that are taken on to finer slots
SEED = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class OnAverage:
    """The best order found, and the points that no way of shooting is worth more than.

    `bound` is infinite where there was no time to look for one.
    """

    policy: Policy
    bound: float

    @property
    def gap(self) -> float:
        """What the bound has over the order, as a share of the order's worth."""
        return (self.bound - self.policy.worth) / max(1.0, abs(self.policy.worth))


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What an order keeps on the average day.

    `points` are expected, `light_kept` is the expected share of all light, `stop` the moment by
    which the crew has stopped on half of the days.
    """

    points: int
    light_kept: float
    stop: datetime


def is_certain(day: Day) -> bool:
    """Say whether a day's work takes its planned minutes and no others."""
    return all(
        one.changeover_median == one.roll_median == 1.0
        and one.changeover_spread == one.roll_spread == 0.0
        for one in day.overruns.values()
    )


def on_average(fit: DayFit, planned: Timetable, *, limit_s: float | None = None) -> OnAverage:
    """Look for the order that is worth most on the average day, and bound any way of shooting.

    Ctrl-C ends the search early, as a limit does.

    Parameters
    ----------
    planned : the order to start from, such as the best one for planned minutes
    limit_s : seconds; None for a fixed amount of work, the same on every machine
    """
    started, is_ended = monotonic(), Event()

    def go_on() -> bool:
        return not is_ended.is_set() and (limit_s is None or monotonic() - started < limit_s)

    minute, coarse = make_rest(fit, 1), make_rest(fit, COARSE_MIN)
    drifts = make_drifts(minute)
    start = _first(minute, drifts, planned)
    if not minute.shots:
        policy = make_policy(minute, drifts, start.order, start.references)
        return OnAverage(policy=policy, bound=policy.worth)
    best, bound = start, inf
    with ThreadPoolExecutor(max_workers=1) as beside:
        try:
            first = search(coarse, drifts, start, 0, SEED, go_on)[0]
            # Both cores: the bound needs no better order than this one to aim at.
            bounding = beside.submit(bound_any, coarse, minute, drifts, first, go_on)
            for found in [first, *_found(fit, coarse, drifts, first, go_on)]:
                worth = Scratch(minute, drifts).worth(found.order, found.references)
                if worth > best.worth:
                    best = Ordered(order=found.order, references=found.references, worth=worth)
            bound = bounding.result()
        except KeyboardInterrupt:
            is_ended.set()
    policy = make_policy(minute, drifts, best.order, best.references)
    # Points on top for pins are in both.
    return OnAverage(policy=policy, bound=max(policy.worth, bound - (best.worth - policy.worth)))


def policy_of(fit: DayFit, timetable: Timetable) -> Policy:
    """Give the best way to follow the order of a timetable on the average day.

    Shots that are over already, or not in the order, are not in the policy. Each match has the
    reference that is worth most to the order; the search for it begins at that of the timetable.
    """
    minute = make_rest(fit, 1)
    drifts = make_drifts(minute)
    ids = [shot.id for shot in minute.shots]
    sequence = [roll.shot_id for roll in timetable.rolls]
    order = np.array([ids.index(one) for one in sequence if one in ids], dtype=np.int64)
    first = Ordered(order=order, references=best_references(fit, drifts, timetable), worth=-inf)
    coarse = with_best_references(make_rest(fit, COARSE_MIN), drifts, first)
    # What is best on coarse slots need not be so to the minute.
    policies = [make_policy(minute, drifts, order, one) for one in (first.references, coarse)]
    return max(policies, key=lambda one: one.worth)


def kept_on_average(fit: DayFit, timetable: Timetable) -> Kept:
    """Give what the order of a timetable keeps on the average day, followed as is best."""
    return kept_by(policy_of(fit, timetable))


def kept_by(policy: Policy) -> Kept:
    """Give what an order keeps on the average day, followed by its policy."""
    middle = int(np.searchsorted(np.cumsum(policy.flow.stop), 0.5))
    return Kept(
        points=round(policy.worth),
        light_kept=light_share(policy),
        stop=policy.rest.fit.time_of(policy.rest.origin + middle),
    )


def best_references(fit: DayFit, drifts: Drifts, timetable: Timetable) -> IntArray:
    """Give the reference of each match that is best for the times of a timetable."""
    cost = np.zeros((len(drifts.names), drifts.references))
    for roll in timetable.rolls:
        shot = fit.day.shot(roll.shot_id)
        if shot.match in drifts.names:
            start = np.array([fit.minute_of(roll.roll_start)])
            cost[drifts.names.index(shot.match)] += drift_costs(fit, shot, start)[0]
    found: IntArray = cost.argmin(axis=1)
    return found


def rounds_of(shots: int) -> int:
    """Give how many rounds a search has: one takes longer the more shots there are."""
    return max(1, min(MOST_ROUNDS, round(ROUNDS * (16 / max(1, shots)) ** 2)))


def _found(
    fit: DayFit, coarse: Rest, drifts: Drifts, first: Ordered, go_on: Callable[[], bool]
) -> list[Ordered]:
    """Search on rough slots, then take the best orders on to finer ones."""
    rounds = rounds_of(len(coarse.shots))
    rough = search(make_rest(fit, ROUGH_MIN), drifts, first, rounds, SEED, go_on)
    return [search(coarse, drifts, one, 0, SEED, go_on)[0] for one in rough[:BEST] if go_on()]


def _first(rest: Rest, drifts: Drifts, planned: Timetable) -> Ordered:
    """Give an order of all shots still to come that begins with the planned one."""
    sequence = [roll.shot_id for roll in planned.rolls]
    ids = [shot.id for shot in rest.shots]
    order = [ids.index(one) for one in sequence if one in ids]
    left = [s for s in range(len(ids)) if s not in order]
    while left:
        # What must come after others comes after them.
        free = next(
            (s for s in left if not any(rest.forbidden[s, other] for other in left)), left[0]
        )
        left.remove(free)
        order = _put_allowed(rest, order, free)
    placed, references = np.array(order, dtype=np.int64), best_references(rest.fit, drifts, planned)
    worth = Scratch(rest, drifts).worth(placed, references)
    return Ordered(order=placed, references=references, worth=worth)


def _put_allowed(rest: Rest, order: list[int], shot: int) -> list[int]:
    """Put a shot last, or before the first shot that must come after it."""
    later = [p for p, other in enumerate(order) if rest.forbidden[other, shot]]
    place = min(later, default=len(order))
    return [*order[:place], shot, *order[place:]]
