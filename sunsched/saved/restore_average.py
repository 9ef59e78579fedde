"""A saved order for the average day, followed again on its day as the files have it now."""

from __future__ import annotations

import numpy as np

from sunsched.average.model.drift import make_drifts
from sunsched.average.model.rest import make_rest
from sunsched.average.order.forecast import Policy, make_policy
from sunsched.average.plan import AsPlanned, AveragePlan, BestPlanned, plan_of_policy
from sunsched.light.fit import DayFit
from sunsched.plan.score import reference_minutes
from sunsched.saved.average import SavedAverage
from sunsched.saved.plan_file import Revision


def average_again(fit: DayFit, revision: Revision, saved: SavedAverage) -> AveragePlan:
    """Give a saved plan for the average day with its chances as the day is now.

    Parameters
    ----------
    saved : the order of the revision, with shots that the day still has
    """
    own, best = revision.if_every_minute_holds, revision.best_for_planned_minutes
    return plan_of_policy(
        policy_again(fit, saved),
        revision.bound,
        as_planned=None if own is None else AsPlanned(points=own.points, light_kept=own.light_kept),
        best_planned=None
        if best is None or best.bound is None
        else BestPlanned(points=best.points, bound=best.bound, light_kept=best.light_kept),
    )


def policy_again(fit: DayFit, saved: SavedAverage) -> Policy:
    """Work out again how a saved order is followed.

    Shots that the day does not have, or that are over, are left away. A match whose reference is
    not saved has the first of the day.
    """
    rest = make_rest(fit, 1)
    drifts = make_drifts(rest)
    ids = [shot.id for shot in rest.shots]
    order = np.array([ids.index(one) for one in saved.order if one in ids], dtype=np.int64)
    minutes, known = reference_minutes(fit), {one.match: one.time for one in saved.references}
    references = np.array(
        [
            int(np.abs(minutes - fit.minute_of(known[name])).argmin()) if name in known else 0
            for name in drifts.names
        ],
        dtype=np.int64,
    )
    return make_policy(rest, drifts, order, references)
