"""A day under a decision, as what the crew can still do on the average day.

What a day can say is changed in the day; that a shot is rolled before or after a moment is in its
rooms. A shot that comes first is begun first: nothing else can be.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sunsched.average.ground import Ground, best_references
from sunsched.average.model.rest import Rest, make_rest
from sunsched.average.order.forecast import Policy
from sunsched.average.order.search import Ordered
from sunsched.day.decided import decided_day
from sunsched.day.demand import Decision, First, RollAfter, RollBefore
from sunsched.light.fit import DayFit, fit_again
from sunsched.light.stretches import Minutes
from sunsched.plan.score import reference_minutes
from sunsched.plan.timetable import Timetable

NEVER_MIN = 10**6  # further from the track's start than any minute of a day


def decide(fit: DayFit, decision: Decision, near: Policy | None = None) -> Ground:
    """Pose a day under a decision.

    Parameters
    ----------
    fit : of the day as it is
    near : an order of it, to take over what the decision does not change
    """
    day = fit.day
    changed = decided_day(day, decision)
    own = fit_again(fit, changed)
    within = _within(own, decision)

    def pose(grid_min: int) -> Rest:
        known = None if near is None else near.rest
        return _begun_with(make_rest(own, grid_min, within, known), decision)

    return Ground(own, pose, near)


def order_from_policy(ground: Ground, policy: Policy) -> Ordered:
    """Give the order of a policy of another day, with its references, as the ground allows it.

    A match that the other day does not know has a reference of the middle of the day.
    """
    minutes = reference_minutes(policy.rest.fit)[policy.references]
    shift = ground.fit.minute_of(policy.rest.fit.track.start)
    there = reference_minutes(ground.fit)
    nearest = np.abs(there[:, None] - minutes - shift).argmin(axis=0)
    known = dict(zip(policy.drifts.names, nearest.tolist(), strict=True))
    middle = len(there) // 2
    references = np.array([known.get(name, middle) for name in ground.drifts.names], dtype=np.int64)
    return ground.ordered(ground.whole(policy.ids), references)


def order_from_timetable(ground: Ground, timetable: Timetable) -> Ordered:
    """Give the order of a timetable, with the references that are best for its times."""
    ids = [roll.shot_id for roll in timetable.rolls]
    references = best_references(ground.fit, ground.drifts, timetable)
    return ground.ordered(ground.whole(ids), references)


def _within(fit: DayFit, decision: Decision) -> dict[str, Minutes]:
    """Give the minutes in which shots are to roll: ended by the one moment, begun by the other."""
    found: dict[str, Minutes] = {}
    for demand in decision:
        if isinstance(demand, RollBefore | RollAfter):
            first, last = found.get(demand.shot, (-NEVER_MIN, NEVER_MIN))
            minute = fit.minute_of(demand.time)
            is_after = isinstance(demand, RollAfter)
            found[demand.shot] = (minute, last) if is_after else (first, minute)
    return found


def _begun_with(rest: Rest, decision: Decision) -> Rest:
    """Let nothing come before the shot that a decision wants first."""
    ids = [shot.id for shot in rest.shots]
    forbidden, begin_from = rest.forbidden.copy(), rest.odds.begin_from.copy()
    for demand in decision:
        if isinstance(demand, First) and demand.shot in ids:
            others = np.arange(len(ids)) != ids.index(demand.shot)
            forbidden[others, ids.index(demand.shot)] = True
            begin_from[:, -1, others] = rest.slots
    return replace(rest, forbidden=forbidden, odds=rest.odds._replace(begin_from=begin_from))
