"""What is left of a day under way, against the judge: without chance both count the same day."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from oracles.days import random_day
from seeds import few_first
from under_way import by_plan

from sunsched.average.likely import likely_timetable
from sunsched.average.order.forecast import light_share
from sunsched.average.solve import policy_of
from sunsched.day.model import Day, Size
from sunsched.day.overruns import Overrun
from sunsched.light.fit import fit_checked
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.solver.solve import make_plan

NONE = Overrun(changeover_median=1.0, changeover_spread=0.0, roll_median=1.0, roll_spread=0.0)


def a_certain_day(seed: int) -> Day:
    """Give a random day without chance, whose matches cost only for tight shots first.

    Overtime begins early, so that it is counted of what is made and of what is to come.
    """
    day = random_day(seed, 6, ("a", "b"), room_min=50)
    hours = replace(day.hours, wrap=day.hours.crew_call + timedelta(minutes=90))
    return replace(
        day,
        hours=hours,
        costs=replace(day.costs, match=0, left_out=1000),
        overruns=dict.fromkeys(Size, NONE),
    )


@pytest.mark.parametrize("seed", few_first([1, 3, 4, 7, 8, 10], 3))
def test_a_certain_rest_is_worth_what_the_judge_counts(seed):
    """After each shot, with and without minutes lost; light is rounded by the judge alone."""
    plan = make_plan(a_certain_day(seed))
    weights = sum(shot.weight for shot in plan.day.shots)
    for made in range(len(plan.shots)):
        for late_min in (0, 17):
            fit = fit_checked(by_plan(plan, made, late_min=late_min))
            _, first = likely_timetable(policy_of(fit, plan.timetable))
            # What an order passes over counts as made before: it is to hold what is made alone.
            policy = policy_of(fit, first)
            likely, timetable = likely_timetable(policy)
            assert breaches(likely, timetable) == ()
            worth = score(fit, timetable)
            assert policy.worth == pytest.approx(worth.total, abs=len(plan.shots)), (made, late_min)
            kept = sum(worth.light.values()) / (1000 * weights)
            assert light_share(policy) == pytest.approx(kept, abs=0.001)
